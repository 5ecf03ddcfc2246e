// The first page: begins a job or opens one, then goes to it.

const token = document.querySelector('meta[name="token"]').content;
const banner = document.getElementById("banner");

async function ask(url, asked) {
  const headers = { "content-type": "application/json", "x-pitchline-token": token };
  try {
    const response = await fetch(url, { method: "POST", headers, body: JSON.stringify(asked) });
    if (response.status === 403) { location.reload(); return; }
    const told = await response.json();
    if (response.ok) location.assign(told.to);
    else say(told.sentences.join(" "));
  } catch (fault) { say(String(fault)); }
}
function say(sentence) { banner.textContent = sentence; banner.hidden = false; banner.scrollIntoView({ block: "center" }); }

document.getElementById("new").addEventListener("submit", (event) => {
  event.preventDefault();
  const form = new FormData(event.target);
  ask("/start/new", { name: form.get("name"), start: form.get("start") });
});
for (const button of document.querySelectorAll("[data-open]")) {
  button.addEventListener("click", () => ask("/start/open", { name: button.dataset.open }));
}
