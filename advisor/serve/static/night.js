// The club night: one slide at a time by the arrow keys, the answer by space. Without it all slides stand one below the other.

const night = document.getElementById("night");
const slides = [...document.querySelectorAll(".slide")];
const where = document.getElementById("where");
let here = 0;

function go(to) {
  here = Math.min(Math.max(to, 0), slides.length - 1);
  slides.forEach((one, place) => { one.hidden = place !== here; });
  where.textContent = `${here + 1} of ${slides.length}`;
  night.scrollTop = 0;
  scrollTo(0, 0);
}

function reveal() {
  const answer = slides[here].querySelector("details");
  if (!answer) return go(here + 1);
  answer.open = !answer.open;
  if (answer.open) answer.scrollIntoView({ block: "nearest" });
}

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) return;
  const steps = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 };
  if (event.key in steps) go(here + steps[event.key]);
  else if (event.key === " " && !event.target.closest("button, input, summary, a")) reveal();
  else return;
  event.preventDefault();
});
for (const one of document.querySelectorAll("[data-step]"))
  one.addEventListener("click", () => go(here + Number(one.dataset.step)));
document.querySelector("[data-whole]").addEventListener("click", () => {
  if (document.fullscreenElement) document.exitFullscreen();
  else night.requestFullscreen();
  night.focus();
});
go(0);
