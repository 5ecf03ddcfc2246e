"""The command line from outside: exit codes, which stream says what, what is refused and in what words."""

import json
import os
from pathlib import Path

import jsonschema
import pytest
from tests.command import FAILING, SOUND, run
from typer.testing import CliRunner

from pitchline.app.cli import app
from pitchline.app.result import result_schema
from pitchline.catalogue.rules import list_rule_sets

COMMANDS = ("new", "check", "solve", "build", "cut", "take", "rules", "schema", "serve", "share", "demo")


def test_help_names_every_command_and_no_other() -> None:
    shown = CliRunner().invoke(app, ["--help"], env={"COLUMNS": "100", "NO_COLOR": "1"})
    assert shown.exit_code == 0
    first_words = {
        line.strip("│ ").split(" ")[0] for line in shown.output.splitlines() if line.startswith("│ ")
    }
    assert {word for word in first_words if word.isalpha()} >= set(COMMANDS)
    assert {command.callback.__name__ for command in app.registered_commands if command.callback} == set(
        COMMANDS
    )


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_help_with_an_example(command: str) -> None:
    shown = CliRunner().invoke(app, [command, "--help"], env={"COLUMNS": "100", "NO_COLOR": "1"})
    assert shown.exit_code == 0
    assert f"Example: pitchline {command} " in shown.output or command == "schema"


def test_check_tells_by_its_exit_code_whether_all_holds() -> None:
    sound, failing = run("check", SOUND), run("check", FAILING)
    assert (sound.returncode, failing.returncode) == (0, 1)
    assert sound.stderr == failing.stderr == ""
    assert "FAIL" not in sound.stdout
    assert "   FAIL  A: handrail:" in failing.stdout
    assert sound.stdout.splitlines()[-1].split(":")[0].endswith(" findings")


def test_check_shows_what_holds_only_when_asked() -> None:
    runner = CliRunner()
    assert "   pass  " not in runner.invoke(app, ["check", str(SOUND)]).output
    assert "   pass  " in runner.invoke(app, ["check", str(SOUND), "--all"]).output


@pytest.mark.parametrize("job", [SOUND, FAILING], ids=lambda path: path.stem)
def test_solve_prints_the_document_and_nothing_else(job: Path) -> None:
    done = run("solve", job, "--json")
    document = json.loads(done.stdout)
    assert done.stderr == ""
    schema = result_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(document, schema)
    assert document["schema"] == "pitchline-result/1"
    verdicts = {
        f["verdict"] for part in (*document["stairs"], *document["designs"]) for f in part["findings"]
    }
    assert done.returncode == (1 if verdicts & {"fail", "unsure"} else 0)


def test_solve_without_json_says_what_is_missing() -> None:
    done = run("solve", SOUND)
    assert (done.returncode, done.stdout) == (2, "")
    assert "--json" in done.stderr


@pytest.mark.parametrize("document", ["job", "result"])
def test_schemas_are_schemas(document: str) -> None:
    done = CliRunner().invoke(app, ["schema", document])
    assert done.exit_code == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(done.stdout))


def test_a_schema_that_does_not_exist() -> None:
    done = CliRunner().invoke(app, ["schema", "drawing"])
    assert done.exit_code == 2
    assert "allowed: job, need, rack, result" in done.stderr


def test_rules_lists_and_shows() -> None:
    listed = run("rules")
    assert listed.returncode == 0
    for rules_id in list_rule_sets():
        assert rules_id in listed.stdout.splitlines()
    shown = run("rules", "us-irc-2024")
    assert (shown.returncode, shown.stderr) == (0, "")
    assert "International Residential Code 2024" in shown.stdout


def test_an_unknown_rule_set_names_the_nearest() -> None:
    done = run("rules", "us-irc-2042")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("the command, rules: ")
    assert "did you mean us-irc-2024" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_an_unknown_place_in_a_job_names_the_nearest(tmp_path: Path) -> None:
    job = tmp_path / "stair.toml"
    job.write_text(SOUND.read_text("utf-8").replace("england-dwelling", "england-dweling"), encoding="utf-8")
    done = run("check", job)
    assert done.returncode == 2
    assert '"england-dwelling"' in done.stderr
    assert done.stderr.startswith("stair.toml, line ")


def test_all_faults_of_a_job_are_told_a_line_each(tmp_path: Path) -> None:
    job = tmp_path / "stair.toml"
    text = (
        SOUND.read_text("utf-8").replace("risers = 11", "risers = 12").replace("width = 780", "widht = 780")
    )
    job.write_text(text, encoding="utf-8")
    done = run("build", job, "-o", tmp_path / "pack")
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) >= 2
    assert all(line.startswith("stair.toml, line ") for line in done.stderr.splitlines())
    assert sorted(path.name for path in tmp_path.iterdir()) == ["stair.toml"]


def test_a_file_that_is_not_there_and_a_folder(tmp_path: Path) -> None:
    missing = run("check", tmp_path / "nothing.toml")
    assert (missing.returncode, missing.stdout) == (2, "")
    assert "there is no such file" in missing.stderr
    folder = run("check", tmp_path)
    assert (folder.returncode, folder.stdout) == (2, "")
    assert "this is a folder" in folder.stderr
    assert "Traceback" not in missing.stderr + folder.stderr


@pytest.mark.parametrize(
    "content", [b"", b"\xff\xfe\x00", b"not toml", b"schema = 3", b"\x00" * 9, b"[" * 9000]
)
def test_a_file_that_is_no_job(tmp_path: Path, content: bytes) -> None:
    job = tmp_path / "stair.toml"
    job.write_bytes(content)
    done = run("check", job)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("stair.toml, ")
    assert "Traceback" not in done.stderr


def test_new_writes_a_job_and_its_sheet_and_never_overwrites(tmp_path: Path) -> None:
    done = run("new", "stair.toml", "--units", "in", folder=tmp_path)
    assert (done.returncode, done.stdout) == (0, "")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["stair-survey-sheet.pdf", "stair.toml"]
    assert (tmp_path / "stair-survey-sheet.pdf").read_bytes().startswith(b"%PDF-")
    assert 'units = "in"' in (tmp_path / "stair.toml").read_text("utf-8")
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    again = run("new", "stair.toml", folder=tmp_path)
    assert (again.returncode, again.stdout) == (2, "")
    assert "exists already" in again.stderr
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_new_does_not_write_one_file_without_the_other(tmp_path: Path) -> None:
    (tmp_path / "stair-survey-sheet.pdf").write_text("mine")
    done = CliRunner().invoke(app, ["new", str(tmp_path / "stair.toml")])
    assert done.exit_code == 2
    assert "exists already" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["stair-survey-sheet.pdf"]


def test_build_leaves_a_folder_of_another_alone(tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "dear.txt").write_text("mine")
    done = run("build", SOUND, "-o", tmp_path / "letters")
    assert (done.returncode, done.stdout) == (2, "")
    assert "not a pack" in done.stderr
    assert [path.name for path in tmp_path.rglob("*")] == ["letters", "dear.txt"]


def test_build_says_what_fails_and_writes_the_pack_all_the_same(tmp_path: Path) -> None:
    done = run("build", FAILING, "-o", tmp_path / "pack")
    assert (done.returncode, done.stdout) == (1, "")
    assert "index.html" in done.stderr
    assert "FAIL  A: handrail" in done.stderr
    assert (tmp_path / "pack" / "index.html").is_file()
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_no_colour_where_nobody_looks_or_where_it_is_not_wanted() -> None:
    assert "\x1b" not in run("check", FAILING).stdout
    for arguments in (["--help"], ["check"], ["nonsense"]):
        done = run(*arguments, NO_COLOR="1", FORCE_COLOR="")
        assert "\x1b[3" not in done.stdout + done.stderr


def test_usage_faults_end_with_two() -> None:
    for arguments in (["nonsense"], ["check"], ["build", str(SOUND)], ["new", "x.toml", "--units", "cm"]):
        done = run(*arguments)
        assert (done.returncode, done.stdout) == (2, "")


def test_a_name_that_is_not_utf_8(tmp_path: Path) -> None:
    name = os.fsencode(tmp_path) + b"/st\xe9ir.toml"
    Path(os.fsdecode(name)).write_bytes(SOUND.read_bytes())
    assert run("check", name).returncode == 0
    built = run("build", name, "-o", os.fsencode(tmp_path) + b"/p\xe9ck")
    assert built.returncode == 0
    assert (
        Path(os.fsdecode(os.fsencode(tmp_path) + b"/p\xe9ck")) / "job.toml"
    ).read_bytes() == SOUND.read_bytes()


def test_the_version_is_that_of_the_package() -> None:
    from importlib.metadata import version  # only this test asks the installation

    assert run("--version").stdout.strip() == f"pitchline {version('pitchline')}"


def test_new_wants_a_name_and_a_folder(tmp_path: Path) -> None:
    nameless = CliRunner().invoke(app, ["new", ""])
    assert nameless.exit_code == 2
    assert "needs a file name" in nameless.stderr
    nowhere = CliRunner().invoke(app, ["new", str(tmp_path / "no" / "stair.toml")])
    assert nowhere.exit_code == 2
    assert "no folder" in nowhere.stderr
    assert not list(tmp_path.iterdir())


def test_a_fault_of_the_program_is_not_a_findings_exit_code(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> int:
        raise ZeroDivisionError

    monkeypatch.setattr("pitchline.app.commands.check", broken)
    done = CliRunner().invoke(app, ["check", "stair.toml"])
    assert done.exit_code == 70
    assert "fault of the program" in done.stderr
