// The page of a talk: it asks the program for pieces of itself and puts them in place. It knows no rule of tailoring.
const query = new URL(import.meta.url).search;
const key = new URLSearchParams(query).get("key");
const body = document.body;
const byId = (id) => document.getElementById(id);

export const look = { at: body.dataset.at || "", show: "" };
let before = body.dataset.before || "", after = body.dataset.after || "";
let revision = Number(body.dataset.revision);
let asked = 0, near = false, waiting = null;

const address = (path, more = {}) => path + "?" + new URLSearchParams({ key, ...more });

/** Says something for a while. */
let silence;
export function tell(words, refused = false) {
  const told = byId("told");
  told.textContent = words;
  told.classList.toggle("refused", refused);
  clearTimeout(silence);
  silence = setTimeout(() => { told.textContent = ""; }, refused ? 12000 : 6000);
}

/** Puts pieces of the page in place. What a hand is on keeps the focus. */
function show(answer, same = false) {
  const moved = answer.at !== look.at;
  const focus = document.activeElement;
  const kept = focus && (focus.id || focus.dataset.said || focus.dataset.act || focus.dataset.show);
  revision = answer.revision;
  look.at = answer.at;
  before = answer.before || "";
  after = answer.after || "";
  for (const [id, piece] of Object.entries(answer.pieces)) {
    const there = byId(id);
    // A field that is being typed in is not taken away.
    if (id === "ask" && !moved && there.contains(focus) && focus.matches("input:not([type=checkbox]), textarea")) continue;
    const old = id === "ask" && !moved ? there.querySelector("#ways") : null;
    there.innerHTML = piece;
    if (old) pictures(there, old, same);
  }
  byId("suit").querySelector(".views")?.classList.toggle("near", near);
  if (answer.told) tell(answer.told, answer.refused);
  if (moved) {
    byId("question")?.focus({ preventScroll: false });
    byId("ask").scrollTop = 0;
    history.replaceState(null, "", address("/", { at: look.at, show: look.show }));
  } else if (kept && !document.contains(focus)) {
    const again = ["#" + CSS.escape(kept), `[data-said="${CSS.escape(kept)}"]`, `[data-act="${CSS.escape(kept)}"]`, `[data-show="${CSS.escape(kept)}"]`];
    for (const one of again) { const found = document.querySelector(one); if (found) { found.focus(); break; } }
  }
  if (same && byId("ways")?.dataset.tried !== "no") return;
  tryWays();
}

/** Keeps the pictures that were there until the new ones have come, so that nothing jumps. Another answer to the
 * same question does not change what each way would be. */
function pictures(there, old, same) {
  if (same && old.dataset.tried !== "no") {
    for (const way of old.querySelectorAll(".way")) {
      const now = there.querySelector(`[data-said="${CSS.escape(way.dataset.said)}"]`);
      if (now) way.setAttribute("aria-pressed", now.getAttribute("aria-pressed"));
    }
    there.querySelector("#ways").replaceWith(old);
    return;
  }
  for (const way of there.querySelectorAll(".way")) {
    const same = old.querySelector(`[data-said="${CSS.escape(way.dataset.said)}"] .picture`);
    if (same) way.querySelector(".picture").replaceWith(same);
  }
}

/** Has each way tried on the draft, and drawn. One that was overtaken is dropped. */
async function tryWays() {
  const ways = byId("ways");
  if (!ways) return;
  waiting?.abort();
  waiting = new AbortController();
  const own = { at: look.at, revision };
  try {
    const answer = await fetch(address("/ways", { at: own.at, number: Date.now() }), { signal: waiting.signal });
    if (answer.status === 204) {
      // Another window asked meanwhile, or the order has changed.
      setTimeout(() => { if (own.at === look.at && own.revision === revision) tryWays(); }, 400);
      return;
    }
    if (answer.status !== 200) return;
    const piece = await answer.text();
    const there = byId("ways");
    if (!there || own.at !== look.at || own.revision !== revision) return;
    fill(there, piece);
    there.dataset.tried = there.querySelector("svg") ? "yes" : "plain";
    there.setAttribute("aria-busy", "false");
    seen(there.querySelector(".ways").dataset.seen, own.at);
    adds(own, waiting.signal).catch(() => {});
  } catch (fault) {
    if (fault.name !== "AbortError") lost();
  }
}

/** Asks what each way takes more or less of, once the pictures are there and nobody has answered for a moment. */
async function adds(own, signal) {
  await new Promise((done) => setTimeout(done, 500));
  if (!signal.aborted && own.at === look.at && own.revision === revision) await fetch(address("/adds", { at: own.at }), { signal });
}

/** Puts what was found of each way into the button that is there, so that no press on it is lost. */
function fill(there, piece) {
  const found = document.createElement("template");
  found.innerHTML = piece;
  for (const now of found.content.querySelectorAll(".way")) {
    const way = there.querySelector(`[data-said="${CSS.escape(now.dataset.said)}"]`);
    if (!way) continue;
    for (const name of ["aria-pressed", "aria-disabled"]) {
      if (now.hasAttribute(name)) way.setAttribute(name, now.getAttribute(name)); else way.removeAttribute(name);
    }
    way.replaceChildren(...now.childNodes);
  }
  there.querySelector(".ways").dataset.seen = found.content.querySelector(".ways").dataset.seen || "";
}

/** Turns the garment to the side on which the question makes a difference, unless another side was asked for. */
async function seen(side, at) {
  const shown = document.querySelector(".sides [aria-pressed=true]")?.dataset.show?.split(".");
  if (look.show || !side || !shown || shown[1] === side || document.querySelector(".views.pair")) return;
  turned = at + "|" + shown[0] + "." + side;
  const answer = await fetch(address("/pieces", { at, show: shown[0] + "." + side }));
  const pieces = await answer.json();
  if (pieces.revision === revision && at === look.at && !look.show) { byId("suit").innerHTML = pieces.pieces.suit; byId("suit").querySelector(".views")?.classList.toggle("near", near); }
}

/** The side to which a question has turned the garment, as long as it is looked at. */
let turned = "";
const view = () => (look.show || (turned.startsWith(look.at + "|") ? turned.split("|")[1] : ""));

/** Asks for the pieces of the page as it looks now. */
export async function look_again() {
  const mine = ++asked;
  try {
    const answer = await fetch(address("/pieces", { at: look.at, show: view() }));
    const pieces = await answer.json();
    if (mine === asked) show(pieces);
  } catch { lost(); }
}

/** Does something. Acts go one after another; only the last one's answer is shown. */
let turn = Promise.resolve();
export function act(what) {
  const mine = ++asked;
  const same = ["answer", "house", "open"].includes(what.do) && what.at === look.at;
  const done = turn.then(() => send({ look: { at: look.at, show: view() }, ...what }));
  turn = done.catch(() => {});
  return done.then((answer) => { if (answer && answer.pieces && mine === asked) show(answer, same && !answer.told); else if (answer?.told) tell(answer.told, answer.refused); return answer; });
}

export async function send(what) {
  try {
    const answer = await fetch(address("/do"), { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(what) });
    if (!answer.ok) { tell(await answer.text() || "the program refused it", true); return null; }
    return await answer.json();
  } catch { lost(); return null; }
}

function lost() { tell("The program does not answer: nothing is lost, run it again. What was answered is in the order's file.", true); }

export function go(at) { if (at) { look.at = at; show_again(at); } }
async function show_again(at) {
  const mine = ++asked;
  await turn;
  try {
    const answer = await fetch(address("/pieces", { at, show: look.show }));
    const pieces = await answer.json();
    if (mine === asked) { look.at = ""; show(pieces); }
  } catch { lost(); }
}

/** Everything that can be pressed or typed as a key. */
export const acts = {
  next: () => go(after),
  back: () => go(before),
  house: () => act({ do: "house", at: look.at }),
  open: () => act({ do: "open", at: look.at }),
  rest: () => act({ do: "rest" }),
  undo: () => act({ do: "undo" }),
  redo: () => act({ do: "redo" }),
  aside: () => act(document.querySelector(".views.pair") ? { do: "choose", kept: true } : { do: "aside" }),
  "choose-kept": () => act({ do: "choose", kept: true }),
  "choose-new": () => act({ do: "choose", kept: false }),
  cut: () => act({ do: "cut" }),
  draft: () => act({ do: "draft" }),
  stop: () => act({ do: "stop" }),
  keys: () => byId("keys").showModal(),
  find: () => { byId("sought").value = ""; byId("find").showModal(); },
  near: () => { near = !near; document.querySelector(".views")?.classList.toggle("near", near); },
  turn: () => document.querySelector('.sides [aria-pressed=false][data-show]')?.click(),
  word: (i) => document.querySelectorAll(".way")[i]?.click(),
};

body.addEventListener("click", (event) => {
  const on = event.target.closest("button");
  if (!on) return;
  if (on.dataset.go) go(on.dataset.go);
  else if (on.dataset.show) { look.show = on.dataset.show; look_again(); }
  else if (on.dataset.said !== undefined) {
    if (on.getAttribute("aria-disabled") === "true") tell(on.querySelector(".why")?.textContent || "", true);
    else act({ do: "answer", at: look.at, said: on.dataset.said });
  } else if (on.dataset.act && acts[on.dataset.act]) acts[on.dataset.act]();
});

byId("find").addEventListener("close", () => {
  const sought = byId("sought").value.trim().toLowerCase();
  if (!sought) return;
  const names = [...byId("names").options];
  const found = names.find((one) => one.value.toLowerCase() === sought) || names.find((one) => one.value.toLowerCase().includes(sought));
  if (found) go(found.dataset.at); else tell(`There is no question "${sought}".`, true);
});

const events = new EventSource(address("/events"));
events.addEventListener("changed", (event) => later(Number(event.data)));
events.addEventListener("length", (event) => { const there = byId("length"); if (there) there.innerHTML = event.data; });
events.addEventListener("added", (event) => {
  const one = JSON.parse(event.data);
  if (one.at !== look.at || one.revision !== revision) return;
  const there = document.querySelector(`.way[data-said="${CSS.escape(one.said)}"] .adds`);
  if (there) there.textContent = one.words;
});
events.addEventListener("progress", (event) => { const there = byId("progress"); if (there) there.innerHTML = event.data; });
/** Another window or an editor has changed the order, unless it was this window and the answer is on its way. */
let soon;
function later(change) {
  clearTimeout(soon);
  soon = setTimeout(async () => { await turn; if (change !== revision) look_again(); }, 60);
}

// They import this module in turn, so that it must not wait for them.
Promise.all([import("./keys.js" + query), import("./fields.js" + query)]).then(() => { body.dataset.ready = "yes"; });
tryWays();
