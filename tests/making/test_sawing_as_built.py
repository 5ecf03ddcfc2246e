"""What is sawn of a job half built: only what is still to be cut."""

from tests.jobs.test_as_built_job import PLAN, half_way

from pitchline.job.load import load_text
from pitchline.story import solve
from pitchline.story_making import making_chapter, work_out


def test_pieces_at_hand_are_not_sawn_again() -> None:
    built = solve(load_text(half_way(17.0)))
    (whole,) = built.balustrades
    told = making_chapter(work_out(built), "A")
    sawn = {cut["mark"] for batch in told["sawing"] for cut in batch["cuts"]}
    left = {part.mark for part in whole.still_to_cut}
    assert sawn | {one["mark"] for one in told["otherwise"]} == left
    assert len(whole.still_to_cut) < len(whole.parts)
    everything = making_chapter(work_out(solve(load_text(PLAN))), "A")
    assert told["cuts"] < everything["cuts"]
    assert told["settings"] <= everything["settings"]
