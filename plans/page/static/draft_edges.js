// The edges of a piece as rows, each from where the last one ended.
import { button, choice, group, make, point, row, tableFields, text, tick } from "./draft_fields.js";
import { copyOf, shown } from "./draft_store.js";

const MOST_POINTS = 40;
const KINDS = [["to", "straight"], ["smooth", "smooth, through points"], ["arc", "arc of a circle"]];
const ARCS = {
  radius: [["to", "point", "ends at"], ["radius", "length", "radius"]],
  centre: [["to", "point", "ends at"], ["centre", "point", "centre"]],
  angle: [["centre", "point", "centre"], ["angle", "length", "angle, degrees"]],
};

export const kindOf = (edge) => ["smooth", "arc", "to"].find((way) => edge[way] !== undefined) || "to";
export const nameOf = (edge, k) => edge.name || `edge ${k + 1}`;

/** The points of an edge as a list, however they are written. */
function pointsOf(edge, way) {
  const value = edge[way];
  if (!Array.isArray(value)) return [];
  return value.some(Array.isArray) ? value : [value];
}

function setPoints(edge, way, points) {
  edge[way] = way === "to" && points.length === 1 ? points[0] : points;
}

/** Whatever names an edge of its piece goes with it to its new name. */
function renamed(piece, before, old, now) {
  const names = (piece.edges || []).map(nameOf);
  if (!now || old === now || names.filter((name) => name === now).length > 1) return;
  const swap = (name) => (name === old ? now : name);
  const from = copyOf(before);
  if (from.allowances && typeof from.allowances === "object") {
    piece.allowances = Object.fromEntries(Object.entries(from.allowances).map(([key, v]) => [swap(key), v]));
  }
  if (typeof from.fold === "string") piece.fold = swap(from.fold);
  if (from.turned_up !== undefined) piece.turned_up = Array.isArray(from.turned_up) ? from.turned_up.map(swap) : swap(from.turned_up);
  if (from.match !== undefined) {
    const moved = (one) => (one && one.at && one.at.edge !== undefined ? { ...one, at: { ...one.at, edge: swap(one.at.edge) } } : one);
    piece.match = Array.isArray(from.match) ? from.match.map(moved) : moved(from.match);
  }
  if (Array.isArray(from.notches)) piece.notches = from.notches.map((one) => ({ ...one, edge: swap(one.edge) }));
}

function nameField(store, at, k, about) {
  let before = null;
  let old = "";
  const box = text(store, {
    label: "name", path: [...at, "edges", k, "name"], name: `edges[${k + 1}].name`, about, size: "middle",
    take: (value) => value,
    then: (value) => {
      if (before === null) {
        before = copyOf(store.get(at));
        old = nameOf(before.edges[k], k);
      }
      store.remember(JSON.stringify([...at, "edges", k, "name"]));
      store.put([...at, "edges", k, "name"], value);
      renamed(store.get(at), before, old, value || `edge ${k + 1}`);
      const legend = box.closest("fieldset.edge-row")?.querySelector("legend");
      if (legend) legend.textContent = `Edge ${k + 1}: ${value || ""}`;
      store.tell("typed");
    },
  });
  box.querySelector("input").addEventListener("focus", () => {
    before = null;
  });
  return box;
}

function withKind(edge, kind) {
  const from = kindOf(edge);
  const points = from === "arc" ? [edge.arc.to].filter(Boolean) : pointsOf(edge, from);
  const last = points[points.length - 1] || ["", ""];
  for (const way of ["to", "smooth", "arc"]) delete edge[way];
  if (kind !== "smooth") delete edge.square;
  if (kind === "arc") edge.arc = { to: last, radius: "", turn: "left" };
  else if (kind === "to") setPoints(edge, "to", [last]);
  else edge.smooth = points.length > 1 ? points : [["", ""], last];
}

function arcFields(store, path, name, about) {
  const arc = store.get([...path, "arc"]) || {};
  const by = arc.angle !== undefined ? "angle" : arc.centre !== undefined ? "centre" : "radius";
  return [
    choice(store, {
      label: "given by", about, name: `${name}.arc`, value: by,
      choices: [["radius", "end and radius"], ["centre", "end and centre"], ["angle", "centre and angle"]],
      then: (to) => store.change(() => {
        const kept = store.get([...path, "arc"]);
        const fresh = Object.fromEntries(ARCS[to].map(([key, kind]) => [key, kept[key] ?? (kind === "point" ? ["", ""] : "")]));
        store.put([...path, "arc"], { ...fresh, turn: kept.turn || "left", ...(kept.long_way && to === "radius" ? { long_way: true } : {}) });
      }),
    }),
    tableFields(store, ARCS[by], [...path, "arc"], `${name}.arc`, about),
    choice(store, { label: "bends to the", about, path: [...path, "arc", "turn"], name: `${name}.arc.turn`, choices: ["left", "right"] }),
    by === "radius" ? tick(store, { label: "the long way", about, path: [...path, "arc", "long_way"], name: `${name}.arc.long_way` }) : null,
  ];
}

function pointRows(store, path, name, way, about) {
  const points = pointsOf(store.get(path), way);
  if (points.length > MOST_POINTS) {
    return [make("p", { class: "hint", text: `${points.length} points, as a drawing gave them; they stand in the file's text.` })];
  }
  const nested = Array.isArray((store.get(path)[way] || [])[0]);
  const change = (how) => store.change(() => {
    const list = copyOf(pointsOf(store.get(path), way));
    how(list);
    setPoints(store.get(path), way, list);
  });
  const rows = points.map((_, j) => make("span", { class: "rowed point" },
    point(store, {
      path: nested ? [...path, way, j] : [...path, way], name: `${name}.${way}[${j + 1}]`,
      about: points.length > 1 ? `${about}, point ${j + 1}` : `${about}, end`,
    }),
    points.length > 1 ? button("−", () => change((list) => list.splice(j, 1)), { kind: "plain small quietly", about: `point ${j + 1} of ${about}` }) : null,
  ));
  const add = button("+ point", () => {
    change((list) => list.splice(Math.max(list.length - 1, 0), 0, ["", ""]));
    store.dispatchEvent(new CustomEvent("to", { detail: `${name}.${way}[${points.length}]` }));
  }, { kind: "plain small quietly", about: `before the end of ${about}` });
  return [...rows, way === "smooth" ? add : null];
}

/** Put an edge in; its first field gets the focus. */
export function addEdge(store, at, where) {
  store.change(() => {
    const piece = store.get(at);
    if (!Array.isArray(piece.edges)) piece.edges = [];
    piece.edges.splice(where, 0, { to: ["", ""] });
  });
  store.dispatchEvent(new CustomEvent("to", { detail: `edges[${where + 1}].name` }));
}

function edgeRow(store, at, k, piece) {
  const edge = piece.edges[k];
  const path = [...at, "edges", k];
  const name = `edges[${k + 1}]`;
  const about = `edge ${k + 1}`;
  const way = kindOf(edge);
  const called = nameOf(edge, k);
  const net = piece.drawn !== "with allowance";
  const turned = [piece.turned_up ?? []].flat();
  const swap = (first) => store.change(() => {
    const list = store.get([...at, "edges"]);
    [list[first], list[first + 1]] = [list[first + 1], list[first]];
  });
  const box = group(`Edge ${k + 1}: ${edge.name || ""}`, name,
    row(nameField(store, at, k, about),
      choice(store, { label: "kind", about, name: `${name}.kind`, value: way, choices: KINDS, then: (to) => store.change(() => withKind(store.get(path), to)) }),
      way === "arc" ? arcFields(store, path, name, about).flat(2) : pointRows(store, path, name, way, about)),
    row(
      way === "smooth" ? choice(store, { label: "square to its neighbour", about, path: [...path, "square"], name: `${name}.square`, choices: [["", "no"], ["start", "at its start"], ["end", "at its end"], ["both", "at both"]] }) : null,
      net && piece.fold !== called ? text(store, { label: "its own allowance", about, name: `allowances.${called}`, value: shown((piece.allowances || {})[called]),
        then: (value) => {
          store.remember(`allowance ${k}`);
          const now = store.get(at);
          const name = nameOf(now.edges[k], k);
          const others = { ...(now.allowances || {}), [name]: value };
          if (value === undefined) delete others[name];
          store.put([...at, "allowances"], Object.keys(others).length ? others : undefined);
          store.tell("typed");
        } }) : null,
      tick(store, { label: "on the fold", about, value: piece.fold === called, name: `${name}.fold`, then: (on) => store.change(() => store.put([...at, "fold"], on ? nameOf(store.get(path), k) : undefined)) }),
      net && piece.fold !== called ? tick(store, { label: "turned up", about, value: turned.includes(called), name: `${name}.turned_up`, then: (on) => store.change(() => {
        const called = nameOf(store.get(path), k);
        const others = [store.get(at).turned_up ?? []].flat().filter((one) => one !== called);
        const all = on ? [...others, called] : others;
        store.put([...at, "turned_up"], all.length > 1 ? all : all[0]);
      }) }) : null,
      button("Edge after this", () => addEdge(store, at, k + 1), { kind: "plain small quietly", about }),
      k ? button("Earlier", () => swap(k - 1), { kind: "plain small quietly", about }) : null,
      k < piece.edges.length - 1 ? button("Later", () => swap(k), { kind: "plain small quietly", about }) : null,
      button("Take out", () => store.change(() => store.get([...at, "edges"]).splice(k, 1)), { kind: "plain small quietly", about })));
  box.classList.add("edge-row");
  box.dataset.edge = String(k);
  box.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input[type=text]")) {
      event.preventDefault();
      addEdge(store, at, k + 1);
    }
  });
  return box;
}

export function edgesPart(store, at) {
  const piece = store.get(at);
  const edges = Array.isArray(piece.edges) ? piece.edges : [];
  return make("div", { "data-field": "edges" },
    make("h2", { text: "Edges" }),
    make("p", { class: "hint", text: "Round the piece in order, each from where the last one ended: across to the right, up from the bottom, in any unit (16.5 cm, 6 1/2 in). The last one ends where the first began. Enter puts an edge after the one you are in." }),
    group("Begins at (0, 0 if left empty)", "start", point(store, { path: [...at, "start"], name: "start", about: "start" }),
      piece.start === undefined ? null : row(button("Begin at 0, 0", () => store.change(() => store.put([...at, "start"], undefined))))),
    edges.map((edge, k) => (edge && typeof edge === "object" ? edgeRow(store, at, k, piece) : null)),
    row(button("One more edge", () => addEdge(store, at, edges.length), { kind: "small", name: "add edges" })));
}
