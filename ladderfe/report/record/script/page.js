// The page: one choice of case and state for the frame, its figures, the bars and the diagrams; saving inputs.

const figures = unpackJson(block("figures-data").packed);
const stage = new Stage(document.getElementById("frame-canvas"), block("frame-data"));
const selects = [...document.querySelectorAll("select.case")];
const drawn = block("diagrams-data");
const chosen = { state: 0, number: Number(selects[0].value) };
let diagrams = null;

function row(cells, tag) {
  const tr = document.createElement("tr");
  cells.forEach((words, k) => {
    const cell = document.createElement(tag);
    cell.className = k === 0 || k === 2 ? "r" : "l";
    cell.append(tag === "td" ? marked(words) : words);
    tr.append(cell);
  });
  return tr;
}

/** Words, those over a limit set apart. */
function marked(words) {
  if (!words.includes(" OVER")) return words;
  const over = document.createElement("b");
  over.className = "over";
  over.textContent = words;
  return over;
}

/** A bar of a case in the state that is shown. */
function showBar(item, [words, length, band, beyond]) {
  const bar = item.querySelector(".bar");
  bar.className = `bar band-${band}${beyond ? " beyond" : ""}`;
  bar.style.width = `${length}%`;
  item.querySelector(".now").replaceChildren(marked(words));
}

function tell() {
  const [name, about] = figures.about[chosen.number];
  const told = figures.states[chosen.state];
  const both = figures.states.length > 1 ? `, ${told.name}` : "";
  document.getElementById("case-name").textContent = name + both;
  document.getElementById("case-about").textContent = about;
  document.querySelectorAll("#bars-state").forEach((span) => { span.textContent = told.name; });
  const table = document.getElementById("case-table");
  const all = chosen.number === 0;
  const cut = (cells) => (all ? cells : cells.slice(0, -1));
  table.tHead.replaceChildren(row(cut(figures.head), "th"));
  table.tBodies[0].replaceChildren(...told.rows[chosen.number].map((cells) => row(cut(cells), "td")));
  for (const bar of document.querySelectorAll("#bars li")) {
    bar.classList.toggle("chosen", Number(bar.dataset.case) === chosen.number);
    showBar(bar, told.bars[Number(bar.dataset.case) - 1]);
    bar.querySelector(".pick").setAttribute("aria-pressed", String(Number(bar.dataset.case) === chosen.number));
  }
}

/** The diagrams of the case; unpacked when they are first asked for. */
function showDiagrams() {
  const pane = document.getElementById("diagrams-pane");
  if (!pane || !drawn.packed || chosen.number === 0) return;
  diagrams = diagrams || unpackJson(drawn.packed);
  const both = diagrams.cases[chosen.number - 1];
  pane.querySelectorAll("[data-side]").forEach((box) => {
    box.innerHTML = both[box.dataset.side].map((k) => diagrams.lines[k]).join("\n");
  });
  pane.classList.toggle("another", figures.about[chosen.number][0] !== pane.dataset.first);
  document.getElementById("diagrams-case").textContent = `Case: ${figures.about[chosen.number][0]}`;
  pane.dataset.shows = String(chosen.number);
}

function choose(state, number) {
  Object.assign(chosen, { state, number });
  selects.forEach((s) => { s.value = String(number); });
  stage.choose(state, number);
  tell();
  showDiagrams();
}

function save(name) {
  const file = block("inputs").files.find((f) => f.name === name);
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob(["base64" in file ? bytes(file.base64) : file.text]));
  link.download = name.split("/").pop();
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

document.documentElement.classList.remove("js-off");
selects.forEach((s) => s.addEventListener("change", () => choose(chosen.state, Number(s.value))));
document.querySelectorAll("input[name=state]").forEach((r) => {
  r.addEventListener("change", () => choose(Number(r.value), chosen.number));
});
document.querySelectorAll("#bars .pick").forEach((b) => {
  b.addEventListener("click", () => choose(chosen.state, Number(b.closest("li").dataset.case)));
});
document.querySelectorAll("[data-view]").forEach((b) => b.addEventListener("click", () => stage.view(b.dataset.view)));
document.querySelectorAll("button.save").forEach((b) => b.addEventListener("click", (e) => {
  e.preventDefault();
  save(b.dataset.name);
}));
const contents = document.querySelector(".contents details");
if (window.matchMedia("(max-width: 68rem)").matches) contents.open = false;
choose(0, chosen.number);

// Chapters fold on screen; a link opens the one that it leads to, and on paper all are open.
const folds = [...document.querySelectorAll("details.fold")];
const foldAll = document.getElementById("fold-all");
function unfold(id) {
  const fold = id && document.getElementById(id)?.querySelector("details.fold");
  if (fold) fold.open = true;
}
function nameFoldAll() {
  foldAll.textContent = folds.some((f) => f.open) ? "Fold all chapters" : "Open all chapters";
}
foldAll.addEventListener("click", () => {
  const open = !folds.some((f) => f.open);
  folds.forEach((f) => { f.open = open; });
});
folds.forEach((f) => f.addEventListener("toggle", nameFoldAll));
document.querySelectorAll(".contents a").forEach((a) => {
  a.addEventListener("click", () => unfold(a.hash.slice(1)));
});
window.addEventListener("hashchange", () => unfold(location.hash.slice(1)));
let folded = [];
window.addEventListener("beforeprint", () => {
  folded = folds.filter((f) => !f.open);
  folded.forEach((f) => { f.open = true; });
});
window.addEventListener("afterprint", () => folded.forEach((f) => { f.open = false; }));
