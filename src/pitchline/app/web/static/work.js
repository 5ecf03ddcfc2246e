// Long work: begin it, watch it, stop it; when it is done the page asks for its state anew.

import { post, refresh, renew, words } from "/static/queue.js";
import { banner } from "/static/bench.js";

const LOOK = 350;
const begin = document.querySelector("[data-work]");
const stop = document.querySelector("[data-stop]");
const said = document.querySelector(".work .said");
const bar = document.querySelector(".work progress");
let current = null;

begin.addEventListener("click", () => start(true));
stop.addEventListener("click", async () => { if (current) show(await asked(`/errand/${current}/stop`, {})); });

async function asked(url, body) {
  let response = await post(url, body, { timeout: 20000 });
  if (response.status === 403) { await renew(); response = await post(url, body, { timeout: 20000 }); }
  const told = await response.json();
  if (!response.ok) { banner(told.sentences || [], [[words.close, () => {}]]); return null; }
  return told;
}

async function start() {
  begin.disabled = true;
  try { watch(await asked("/errand", { kind: begin.dataset.work })); }
  catch { said.textContent = words.nobody; begin.disabled = false; }
}

async function watch(told) {
  while (told && told.stand === "running") {
    current = told.id;
    show(told);
    await new Promise((wake) => setTimeout(wake, LOOK));
    try {
      const response = await fetch(`/errand/${current}`);
      told = response.ok ? await response.json() : null;
    } catch { said.textContent = words.nobody; }
  }
  show(told);
}

function show(told) {
  const running = told?.stand === "running";
  begin.disabled = running;
  stop.hidden = bar.hidden = !running;
  said.textContent = !told ? "" : running ? told.stage : told.stand === "failed" ? told.said.join(" ") : words[told.stand];
  if (told && !running) { current = null; document.body.dataset.work = told.stand; refresh(); }
}

// Sheets that are wanted on this page are made at once where there are none yet and the job is sound.
document.addEventListener("answered", ({ detail }) => {
  if (begin.dataset.work !== "pack" && detail.told.fresh && !current && !begin.disabled && document.querySelector("#sheets [data-key=none]")) start();
}, { once: true });
