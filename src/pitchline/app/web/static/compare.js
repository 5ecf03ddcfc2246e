// The compare page: designs under one camera, their figures fetched when the job has changed.

import { banner } from "/static/bench.js";
import { words } from "/static/queue.js";
import { mountViewer } from "/static/viewer.js";

const of = document.body.dataset.of || "";
const viewers = new Map();
let shown = "";

function hosts() { return [...document.querySelectorAll(".viewer[data-design]")]; }

async function draw(version) {
  for (const host of viewers.keys()) if (!host.isConnected) viewers.delete(host);
  for (const host of hosts()) {
    if (viewers.has(host)) continue;
    const viewer = mountViewer(host);
    viewers.set(host, { viewer, version: "" });
    if (!viewer) picture(host);
    host.addEventListener("turn", ({ detail }) => {
      for (const [other, { viewer: too }] of viewers) if (other !== host) too?.setCamera(detail.camera);
    });
    host.addEventListener("pick", ({ detail }) => {
      const line = document.querySelector(`[data-picked="${CSS.escape(host.dataset.design)}"]`);
      if (line) line.textContent = detail.name ?? "";
    });
  }
  await Promise.all([...viewers].map(async ([host, one]) => {
    if (!one.viewer || one.version === version) return;
    one.version = version;
    try { await one.viewer.loadUrl(`/glb/${encodeURIComponent(host.dataset.design)}`); } catch { one.version = ""; }
  }));
  document.body.dataset.pictured = version;
}

function picture(host) {
  const image = document.createElement("img");
  image.className = "viewer-picture";
  image.alt = host.dataset.label;
  image.src = `/design/space/${encodeURIComponent(host.dataset.design)}.svg`;
  host.replaceChildren(image);
}

let busy = false;
async function figures(version) {
  const box = document.getElementById("figures");
  if (busy || shown === version || !box) return;
  busy = true;
  try {
    const response = await fetch(`/compare/figures?${new URLSearchParams(of ? { of } : {})}`);
    if (response.ok) box.innerHTML = await response.text();
    else box.textContent = (await response.json()).sentences.join(" ");
    shown = version;
    box.dataset.version = version;
  } catch { /* the next answer asks again */ }
  busy = false;
  const now = document.body.dataset.version;
  if (shown === version && now !== version) figures(now);
}

function answered() {
  const { version } = document.body.dataset;
  draw(version);
  figures(version);
}
document.addEventListener("answered", answered);
if (document.body.dataset.drawn) answered(); // the first answer may have come before this script

const first = () => [...viewers.values()].find(({ viewer }) => viewer)?.viewer;
document.addEventListener("click", ({ target }) => {
  const look = target.closest?.("[data-look]");
  if (look) first()?.look(look.dataset.look);
  const zoom = target.closest?.("[data-zoom]");
  if (zoom) first()?.zoom(Number(zoom.dataset.zoom));
});

// --- the page to send: fetched first, so that what stands in its way is told here

document.querySelector(".send form")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  try {
    const response = await fetch(`${form.getAttribute("action")}?${new URLSearchParams(new FormData(form))}`);
    if (!response.ok) { banner((await response.json()).sentences, [[words.close, () => {}]]); return; }
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await response.blob());
    link.download = response.headers.get("content-disposition")?.match(/filename="([^"]+)"/)?.[1] ?? "designs.html";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  } catch { banner([words.nobody], [[words.close, () => {}]]); }
});
