// The page of a log: sends the file again whenever something is chosen, and shows what the advisor on this machine says.

const form = document.getElementById("log");
const read = document.getElementById("read");
const state = document.getElementById("state");
const file = form.elements.log;
let asking;

async function ask() {
  if (!file.files.length) return;
  asking?.abort();
  asking = new AbortController();
  state.textContent = "Reading the log …";
  const sent = new FormData(form);
  sent.set("part", "1");
  try {
    const came = await fetch(form.action, { method: "POST", body: sent, signal: asking.signal });
    if (!came.ok) throw new Error();
    const focus = document.activeElement?.name;
    read.innerHTML = await came.text();
    if (focus) form.elements[focus]?.focus();
    state.textContent = "";
  } catch (error) {
    if (error.name !== "AbortError") state.textContent = "No answer. Is the log larger than 100 MB, or the advisor no longer running?";
  }
}

form.addEventListener("change", ask);
form.addEventListener("submit", (event) => {
  if (event.submitter?.name === "take") return;
  event.preventDefault();
  ask();
});
form.addEventListener("dragover", (event) => event.preventDefault());
form.addEventListener("drop", (event) => {
  event.preventDefault();
  if (!event.dataTransfer.files.length) return;
  file.files = event.dataTransfer.files;
  for (const one of read.querySelectorAll("select")) one.remove();
  ask();
});
