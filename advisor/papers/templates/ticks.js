// Ticked boxes stay ticked in this browser, for this plan. Without storage they can be ticked all the same.
const plan = `clutch-advisor ${document.currentScript.dataset.plan}`, boxes = [...document.querySelectorAll(".tick")];
try {
  for (const place of JSON.parse(localStorage.getItem(plan) || "[]")) if (boxes[place]) boxes[place].checked = true;
  addEventListener("change", () => localStorage.setItem(plan, JSON.stringify([...boxes.keys()].filter(place => boxes[place].checked))));
} catch {}
