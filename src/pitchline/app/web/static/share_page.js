// The page that is sent to the household: models out of the page itself, one camera, and an answer as text.
import { mountViewer, turnTogether } from "./viewer.js";

const told = JSON.parse(document.getElementById("told").textContent);
const shownViewers = [];

async function unpacked(text) {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const open = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(open).arrayBuffer();
}

async function showModels() {
  if (typeof DecompressionStream === "undefined") return;
  for (const design of told.designs) {
    const host = document.querySelector(`[data-design="${CSS.escape(design.id)}"]`);
    host.dataset.eye = design.eye;
    const model = await unpacked(design.model);
    const viewer = mountViewer(host);
    if (!viewer) return;
    viewer.load(model);
    shownViewers.push(viewer);
    host.addEventListener("pick", ({ detail }) => {
      const line = document.querySelector(`[data-picked="${CSS.escape(design.id)}"]`);
      const name = detail.name ?? "";
      line.textContent = name ? `${name}: ${design.parts[name] ?? ""}` : "";
    });
  }
  turnTogether(shownViewers);
  document.body.dataset.space = "yes";
}

document.addEventListener("click", ({ target }) => {
  const look = target.closest("[data-look]");
  if (look) shownViewers[0]?.look(look.dataset.look);
  const zoom = target.closest("[data-zoom]");
  if (zoom) shownViewers[0]?.zoom(Number(zoom.dataset.zoom));
});

// --- the answer

const answerForm = document.getElementById("answer");
const answerText = document.getElementById("answer-text");
const { words: said } = told;

function answerWords() {
  const given = new FormData(answerForm);
  const choice = given.get("choice");
  const design = told.designs.find((one) => one.id === choice);
  const chosen = design ? `${design.id} – ${design.title}` : choice === "" ? said.none : said.open;
  const lines = [`${said.about}: ${told.title}`, `${said.chosen}: ${chosen}`];
  const [remarks, who] = ["remarks", "name"].map((key) => String(given.get(key) ?? "").trim());
  if (remarks) lines.push(`${said.remarks}: ${remarks}`);
  if (who) lines.push(`${said.from}: ${who}`);
  if (told.reference) lines.push(`${said.reference}: ${told.reference}`);
  return lines.join("\n");
}

function writeAnswer() {
  answerText.value = answerWords();
  const asked = `subject=${encodeURIComponent(`${said.about}: ${told.title}`)}&body=${encodeURIComponent(answerText.value)}`;
  document.getElementById("mail").href = `mailto:${told.to}?${asked}`;
}

async function copyAnswer() {
  const copied = document.getElementById("copied");
  try { await navigator.clipboard.writeText(answerText.value); copied.textContent = said.copied; }
  catch {
    answerText.select();
    copied.textContent = document.execCommand("copy") ? said.copied : said.by_hand;
  }
}

answerForm.addEventListener("input", writeAnswer);
answerForm.addEventListener("submit", (event) => event.preventDefault());
document.getElementById("copy").addEventListener("click", copyAnswer);
writeAnswer();
showModels().catch(() => {}); // without models the pictures stay
