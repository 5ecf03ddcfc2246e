// Which findings are shown: those that call for something, or all.

const field = document.getElementById("findings");
for (const button of document.querySelectorAll("[data-show]")) {
  button.addEventListener("click", () => {
    for (const each of document.querySelectorAll("[data-show]")) each.setAttribute("aria-pressed", String(each === button));
    field.classList.toggle("whole", button.dataset.show === "all");
  });
}
