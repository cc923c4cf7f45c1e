// The fields that are filled in: what was found is told while it is typed, and written when the field is left.
const { act, send, tell } = await import("./talk.js" + new URL(import.meta.url).search);

const place = (of) => of.closest("[data-field]")?.dataset.field;
let pause;

document.body.addEventListener("input", (event) => {
  const on = event.target;
  const baste = on.closest("#baste");
  if (!baste && (!place(on) || !on.matches("input[type=text], #exact"))) return;
  clearTimeout(pause);
  pause = setTimeout(() => (baste ? fits(baste) : found(on)), 300);
});

/** Says what would be found at a field. */
async function found(on) {
  const there = document.getElementById(on.id === "exact" ? "found" : on.id + "-found");
  const answer = await send({ do: "try", at: place(on), said: on.value });
  if (answer && there && document.contains(on)) there.innerHTML = answer.found;
}

document.body.addEventListener("change", (event) => {
  const on = event.target;
  const at = place(on);
  if (!at || on.id === "exact") return;
  const said = on.type === "checkbox" ? (on.checked ? "yes" : "no") : on.value;
  clearTimeout(pause);
  act({ do: "answer", at, said }).then((answer) => {
    const there = document.getElementById(on.id + "-found");
    if (answer?.refused && on.type === "checkbox") on.checked = !on.checked;
    if (answer?.refused && there) there.textContent = answer.told;
    else if (there) found(on);
  });
});

document.body.addEventListener("submit", (event) => {
  const on = event.target;
  if (on.matches(".number")) {
    event.preventDefault();
    const field = on.querySelector("#exact");
    const said = field.value;
    field.blur();
    act({ do: "answer", at: place(field), said });
  } else if (on.id === "baste") {
    event.preventDefault();
    act({ do: "fitting", said: said(on) }).then((answer) => { if (answer && !answer.refused) tell("The fitting was written down."); });
  }
});

// A place that is pressed on the garment leads to its line in the list, for the side that was pressed.
document.body.addEventListener("click", (event) => {
  const spot = event.target.closest?.(".spot");
  const line = spot && document.querySelector(`.altered[data-place="${CSS.escape(spot.dataset.spot)}"]`);
  if (!line) return;
  const side = line.querySelector("[name=side]"), amount = line.querySelector("[name=amount]");
  if (side && !amount.value) side.value = spot.dataset.side;
  for (const one of document.querySelectorAll(".spot.on")) one.classList.remove("on");
  spot.classList.add("on");
  line.scrollIntoView({ block: "center" });
  amount.focus();
});

/** What the form of the baste says. */
function said(baste) {
  const altered = [...baste.querySelectorAll(".altered")].map((one) => ({
    key: one.querySelector("[name=key]").value, amount: one.querySelector("[name=amount]").value, side: one.querySelector("[name=side]")?.value || "",
  }));
  const given = altered.filter((one) => one.amount.trim());
  return { date: baste.querySelector("[name=date]").value, altered: given, notes: baste.querySelector("[name=notes]").value };
}

/** Says what the fitting would move. */
async function fits(baste) {
  const what = said(baste);
  if (!what.altered.length) { document.getElementById("moved").textContent = ""; return; }
  if (!what.date) what.date = "2099-12-31";
  const answer = await send({ do: "fit", said: what });
  if (!answer) return;
  document.getElementById("moved").innerHTML = answer.moved;
  const views = document.querySelector(".views");
  if (answer.over && views) views.innerHTML = answer.over;
}
