// A form with its answer beside it (a plan, a species): asks for the answer while you type, puts faults beside their fields.
// Of a file that lies on the disk it sees when it changes.
// It computes nothing: every answer comes from the advisor on this machine.

const form = document.querySelector("form[data-answer]");
const answer = document.getElementById("answer");
const state = document.getElementById("state");
const SOON = 30; // ms after a key before the answer is asked for
const LATER = 500; // ms of rest before changes are tried, which takes longer
const LOOK = 4000; // ms between looks at the disk
let waiting, trying, asking;
let dirty = form?.dataset.unsaved !== undefined; // what was refused is still only on the page

async function ask(tried) {
  asking?.abort();
  asking = new AbortController();
  const sent = new URLSearchParams(new FormData(form));
  if (tried) sent.set("tried", "1");
  try {
    const came = await fetch(form.dataset.answer, { method: "POST", body: sent, signal: asking.signal });
    const text = await came.text();
    if (!came.ok) return say("No answer: load the page again.");
    show(text);
    const verdict = answer.querySelector(".verdict")?.dataset.verdict;
    say(`${verdict}. Not saved yet.`);
    if (!tried && form.dataset.mark) trying = setTimeout(ask, LATER, true);
  } catch (error) {
    if (error.name !== "AbortError") say("The advisor does not answer. Is it still running? What you typed stays here.");
  }
}

function show(text) {
  const open = [...answer.querySelectorAll("details[open]")].map((one) => one.parentElement.innerText.slice(0, 80));
  const top = answer.scrollTop;
  answer.innerHTML = text;
  for (const one of answer.querySelectorAll("details"))
    one.open = open.includes(one.parentElement.innerText.slice(0, 80));
  answer.scrollTop = top;
  faults();
}

// Each fault beside its field; the list in the answer keeps them all.
function faults() {
  for (const one of form.querySelectorAll(".fault")) one.replaceChildren();
  for (const one of form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
  for (const fault of answer.querySelectorAll("[data-faults] li")) {
    const beside = document.getElementById(`${fault.dataset.place}-fault`);
    if (!beside) continue;
    const told = document.createElement("p");
    told.textContent = (fault.querySelector("span") ?? fault).textContent; // without the question, where it stands before
    beside.append(told);
    document.getElementById(`${fault.dataset.place}-in`)?.setAttribute("aria-invalid", "true");
  }
}

function say(words) {
  if (state.textContent !== words) state.textContent = words;
}

function typed() {
  dirty = true;
  clearTimeout(waiting);
  clearTimeout(trying);
  waiting = setTimeout(ask, SOON, false);
}

// A way to an entry opens the group that it lies in.
function opened() {
  const place = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!place) return;
  for (let one = place; one; one = one.parentElement) if (one.tagName === "DETAILS") one.open = true;
  place.scrollIntoView({ block: "center" });
  place.querySelector("input:checked, input:not([type=radio]), select")?.focus({ preventScroll: true });
}

async function look() {
  if (document.hidden) return;
  try {
    const mark = await (await fetch(form.dataset.markAt)).text();
    document.getElementById("changed").hidden = mark === form.dataset.mark;
  } catch {
    say("The advisor does not answer. Is it still running? What you typed stays here.");
  }
}

if (form) {
  form.addEventListener("input", typed);
  form.addEventListener("submit", () => { dirty = false; });
  addEventListener("hashchange", opened);
  addEventListener("beforeunload", (event) => { if (dirty) event.preventDefault(); });
  if (form.dataset.mark) setInterval(look, LOOK);
  opened();
}
