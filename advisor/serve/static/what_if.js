// What if: asks for before and after while a number is dragged. It computes nothing: every answer comes from this machine.

const form = document.getElementById("try");
const moved = document.getElementById("moved");
const state = document.getElementById("state");
const SOON = 40; // ms after a move
let waiting, asking;

// The number beside each slider; one that was not dragged is not sent, so that it stays as the plan has it.
function number(dial) {
  const value = dial.dataset.dragged ? dial.value : dial.dataset.was.replace(/\.0$/, "");
  dial.previousElementSibling.textContent = value + dial.dataset.unit;
  dial.setAttribute("aria-valuetext", value + dial.dataset.unit);
}

async function ask() {
  asking?.abort();
  asking = new AbortController();
  const sent = new URLSearchParams(new FormData(form));
  for (const dial of form.querySelectorAll("[type=range]")) if (!dial.dataset.dragged) sent.delete(dial.name);
  history.replaceState(null, "", `?${sent}`);
  sent.set("part", "1");
  try {
    const came = await fetch(`${form.action}?${sent}`, { signal: asking.signal });
    if (!came.ok) throw new Error();
    moved.innerHTML = await came.text();
    state.textContent = "";
  } catch (error) {
    if (error.name !== "AbortError") state.textContent = "No answer. Is the advisor still running?";
  }
}

for (const dial of form.querySelectorAll("[type=range]")) {
  if (new URLSearchParams(location.search).has(dial.name)) dial.dataset.dragged = "1";
  number(dial);
  dial.addEventListener("input", () => { dial.dataset.dragged = "1"; number(dial); });
}
form.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(ask, SOON); });
