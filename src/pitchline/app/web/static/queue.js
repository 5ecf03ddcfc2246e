// Edits on their way to the server: in order, each with an id, sent again until answered, kept in the browser's
// own store so that neither a stopped server nor a closed tab loses one.

const TIMEOUT = 4000;
const PAUSES = [200, 400, 800, 1500];
const ALIVE = 3000;

const body = document.body;
export const job = body.dataset.job;
export const view = body.dataset.of ? `${body.dataset.page}:${body.dataset.of}` : body.dataset.page;
export const words = JSON.parse(body.dataset.words || "{}");
let version = Number(body.dataset.version);
let token = document.querySelector('meta[name="token"]').content;

const tab = (() => {
  let own = sessionStorage.getItem("pitchline-tab");
  if (!own) { own = identity(); sessionStorage.setItem("pitchline-tab", own); }
  return own;
})();
const store = `pitchline ${job} ${tab}`;
let waiting = adopt();
let busy = false;
const listeners = { answer: [], stale: [], refused: [], state: [] };

export function identity() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (b) => b.toString(16).padStart(2, "0")).join("");
}

// What this tab had not sent yet, and what tabs that are gone left behind.
function adopt(own = true) {
  const found = [];
  for (const key of Object.keys(localStorage)) {
    if (!key.startsWith(`pitchline ${job} `)) continue;
    try {
      const kept = JSON.parse(localStorage.getItem(key));
      const gone = Date.now() - kept.alive > 3 * ALIVE;
      if (key === store ? own : gone) { found.push(...kept.waiting); if (key !== store) localStorage.removeItem(key); }
    } catch { localStorage.removeItem(key); }
  }
  return found;
}

function keep() {
  if (waiting.length) localStorage.setItem(store, JSON.stringify({ alive: Date.now(), waiting }));
  else localStorage.removeItem(store);
  tell("state", { waiting: waiting.length });
}
setInterval(() => {
  const left = adopt(false);
  if (left.length) { waiting.push(...left); run(); }
  if (waiting.length) keep();
}, ALIVE);

export function on(what, listener) { listeners[what].push(listener); }
function tell(what, detail) { for (const listener of listeners[what]) listener(detail); }

// Ask for changes to be made: [{path, typed|put|add|drop, was?}].
export function edit(changes, { say = "", join = false } = {}) { push("/edit", { changes, say, join }); }
export function undo() { push("/undo", {}); }
export function redo() { push("/redo", {}); }
export function pending() { return waiting.length; }
export function seen() { return version; }

function push(url, asked) {
  waiting.push({ url, op: identity(), asked });
  keep();
  run();
}

async function run() {
  if (busy) return;
  busy = true;
  let failures = 0;
  while (waiting.length) {
    const outcome = await once(waiting[0]);
    if (outcome === "again") {
      tell("state", { waiting: waiting.length, trouble: true });
      await sleep(PAUSES[Math.min(failures++, PAUSES.length - 1)]);
      continue;
    }
    if (outcome === "held") break;
    failures = 0;
    waiting.shift();
    keep();
  }
  busy = false;
}

// One try: "done", "again" (nobody answered), or "held" (the page has to be loaded anew first).
async function once(item) {
  let response;
  try {
    response = await post(item.url, { op: item.op, job, seen: version, view, ...item.asked });
    if (response.status === 403) { await renew(); return "again"; }
    if (response.status === 401 || response.status === 410) {
      tell("refused", { held: true, sentences: [words[response.status === 401 ? "code" : "other_job"]] });
      return "held";
    }
    if (response.status >= 500 && (item.tries = (item.tries || 0) + 1) < 3) return "again";
    const told = await response.json();
    if (response.status === 409) { take(told.now); tell("stale", { item, told }); return "done"; }
    if (!response.ok) { tell("refused", { item, sentences: told.sentences || [] }); return "done"; }
    take(told, item);
    return "done";
  } catch { return "again"; }
}

export function post(url, asked, { timeout = TIMEOUT, raw = null, type = "application/json" } = {}) {
  const ends = new AbortController();
  const clock = setTimeout(() => ends.abort(), timeout);
  return fetch(url, {
    method: "POST",
    headers: { "content-type": type, "x-pitchline-token": token },
    body: raw || JSON.stringify(asked),
    signal: ends.signal,
  }).finally(() => clearTimeout(clock));
}

// After a restart of the server the token is another.
export async function renew() {
  const response = await fetch("/token");
  if (response.ok) token = (await response.json()).token;
}

function take(told, item = null) {
  version = told.version;
  body.dataset.version = version;
  tell("answer", { told, item });
}

// The state as it is now: after loading, and when the page is looked at again.
export async function refresh() {
  try {
    const response = await fetch(`/state?view=${encodeURIComponent(view)}`);
    if (response.ok && !waiting.length) take(await response.json());
    else if (!response.ok) tell("refused", { sentences: (await response.json()).sentences || [] });
  } catch { tell("state", { waiting: waiting.length, trouble: true }); }
}

// What changes would lead to, without keeping them; null when nobody answers or a newer question was asked.
let asking = 0;
export async function preview(changes) {
  const mine = ++asking;
  try {
    const response = await post("/try", { changes, view, job });
    if (mine !== asking) return null;
    if (response.status === 403) { await renew(); return null; }
    return response.ok ? await response.json() : null;
  } catch { return null; }
}

function sleep(ms) { return new Promise((wake) => setTimeout(wake, ms)); }

addEventListener("online", run);
if (waiting.length) { keep(); run(); }
