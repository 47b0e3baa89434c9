// One piece: what it is cut from, how it gets its outline, and all that is changed on it.
import { edgesPart } from "./draft_edges.js";
import { asWritten, button, choice, group, listRows, make, point, row, tableFields, text, tick } from "./draft_fields.js";
import { matchPart } from "./draft_match.js";
import { InSize, sizePart } from "./draft_sizes.js";
import { copyOf, shown } from "./draft_store.js";

const WAYS = {
  edges: ["by its edges, point after point", () => ({ edges: [{ to: ["", ""] }] })],
  strip: ["as a strip, by length and width", () => ({ strip: { length: "", width: "" } })],
  like: ["like another piece, then changed", () => ({ like: "" })],
  facing: ["as a facing, along an edge of another", () => ({ facing: { of: "", edge: "", width: "" } })],
  band: ["as a band, as long as edges of others", () => ({ band: { along: "", width: "" } })],
  binding: ["as a bias strip that binds edges", () => ({ binding: { along: "", width: "" } })],
  path: ["by a path from a drawing", () => ({ path: "", path_unit: "1 mm" })],
};
const OF_WAY = { edges: ["edges", "start"], path: ["path", "path_unit"] };

const LONGER = [["edge", "edge", "edge"], ["by", "length", "by"]];
const PLACES = [["to", "place", "to"]];
const VERBS = {
  drop: [["drop", "edge", "edge"], ["along", "edge", "along"], ["by", "length", "by"]],
  raise: [["raise", "edge", "edge"], ["along", "edge", "along"], ["by", "length", "by"]],
  lengthen: [["lengthen", "edge", "edge"], ["by", "length", "by"]],
  shorten: [["shorten", "edge", "edge"], ["by", "length", "by"]],
  slash: [["slash", "place", "from"], ...PLACES, ["spread", "length", "spread"], ["overlap", "length", "or overlap"]],
  dart: [["dart", "list", "legs"], ...PLACES],
  close: [["close", "list", "legs of the dart"], ...PLACES],
  true: [["true", "edge", "edge"], ["square", "choice", "square at", ["", "start", "end", "both"]]],
  split: [["split", "place", "from"], ...PLACES, ["keep", "edge", "keep the side of"], ["name", "words", "name of the new edge"], ["allowance", "length", "its allowance"]],
  join: [["join", "edge", "edge"], ["of", "piece", "to piece"], ["its", "words", "its edge"]],
  ease: [["ease", "edge", "edge"], ["by", "length", "by"]],
  pleat: [["pleat", "place", "from"], ...PLACES, ["depth", "length", "depth"]],
  tuck: [["tuck", "place", "from"], ...PLACES, ["depth", "length", "depth"]],
};
const FRESH = {
  place: () => ({ edge: "", along: "" }), list: () => [], choice: () => undefined,
};

const SHOWN = new Set(["@", "name", "cut", "drawn", "allowance", "allowances", "start", "edges", "path", "path_unit", "fold",
  "turned_up", "grain", "turns", "heading_free", "hand", "notches", "like", "shorten", "lengthen", "mirrored", "opened_out",
  "strip", "joinable", "edits", "block", "facing", "band", "binding", "match", "sizes"]);

export const wayOf = (piece) => Object.keys(WAYS).find((way) => piece[way] !== undefined) || "edges";

function namePart(store, at, rename) {
  const piece = store.get(at);
  const way = wayOf(piece);
  const outline = choice(store, {
    label: "outline", name: "way", value: way, choices: Object.entries(WAYS).map(([key, [words]]) => [key, words]),
    then: (to) => store.change(() => {
      const now = store.get(at);
      for (const key of Object.keys(WAYS)) for (const one of OF_WAY[key] || [key]) delete now[one];
      Object.assign(now, WAYS[to][1]());
    }),
  });
  return group("The piece", "name",
    row(rename, outline, tick(store, { label: "a block, only drafted from", path: [...at, "block"], name: "block",
      then: (on) => store.change(() => {
        const now = store.get(at);
        if (on) {
          now.block = true;
          delete now.cut;
        } else {
          delete now.block;
          now.cut = now.cut || { main: "2" };
        }
      }) })));
}

/** How often it is cut from what: a label for each role. */
function cutPart(store, at) {
  const piece = store.get(at);
  if (piece.block === true) return null;
  const cut = typeof piece.cut === "string" ? { main: piece.cut } : piece.cut || {};
  const box = group("Cut", "cut", make("p", { class: "hint", text: piece.like ? "Left empty it is cut as the piece that it is like." : "For each cloth: 1 on fold, 2, 1 pair, 2 same way." }));
  const gather = () => {
    const rows = [...box.querySelectorAll(".cut-row")].map((one) => [...one.querySelectorAll("input")].map((input) => input.value));
    const roles = rows.map(([role]) => role.trim());
    box.querySelectorAll(".twice").forEach((one) => one.remove());
    if (new Set(roles).size < roles.length) {
      box.append(make("p", { class: "finding twice", role: "alert", text: "a role stands twice; give each its own name" }));
      return;
    }
    store.remember("cut");
    const filled = rows.filter(([role, label]) => role.trim() || label.trim());
    store.put([...at, "cut"], filled.length ? Object.fromEntries(filled.map(([role, label]) => [role.trim(), label])) : undefined);
    store.tell("typed");
  };
  const rows = Object.entries(cut);
  if (!rows.length) rows.push(["main", ""]);
  rows.forEach(([role, label], k) => {
    const line = row(
      text(store, { label: "from", about: `cut ${k + 1}`, name: `cut.${role}.role`, value: role, then: gather, keep: true, size: "middle" }),
      text(store, { label: "cut", about: `cut ${k + 1}`, name: `cut.${role}`, value: shown(label), list: "cut-labels", then: gather, keep: true, size: "middle" }),
      rows.length > 1 ? button("Take out", () => store.change(() => {
        const left = rows.filter((_, n) => n !== k);
        store.put([...at, "cut"], Object.fromEntries(left));
      }), { about: `cut from ${role}` }) : null);
    line.classList.add("cut-row");
    box.append(line);
  });
  box.append(row(button("From one more cloth", () => {
    const taken = new Set(rows.map(([role]) => role));
    const role = ["main", "lining", "interfacing", "contrast"].find((one) => !taken.has(one)) || `cloth ${rows.length + 1}`;
    store.change(() => store.put([...at, "cut"], { ...cut, [role]: "2" }));
    store.dispatchEvent(new CustomEvent("to", { detail: `cut.${role}.role` }));
  }, { name: "add cut" })));
  return box;
}

function allowancePart(store, at) {
  const piece = store.get(at);
  const way = wayOf(piece);
  const drawn = piece.drawn || "";
  const asks = !["like", "facing"].includes(way);
  return group("Allowance", "drawn",
    row(asks ? choice(store, { label: "drawn", path: [...at, "drawn"], name: "drawn",
        choices: [["", way === "edges" || way === "path" ? "not said" : "as usual"], ["net", "net: allowance is added"], ["with allowance", "with allowance"]],
        then: (to) => store.change(() => {
          const now = store.get(at);
          if (to) now.drawn = to;
          else delete now.drawn;
          if (to === "with allowance") for (const key of ["allowance", "allowances", "turned_up"]) delete now[key];
        }) }) : null,
      drawn !== "with allowance" ? text(store, { label: "allowance of every edge", path: [...at, "allowance"], name: "allowance" }) : null),
    way === "edges" || drawn === "with allowance" ? null : otherAllowances(store, at));
}

/** Allowances, fold and hems of a piece whose edges are not typed here. */
function otherAllowances(store, at) {
  const piece = store.get(at);
  const listed = Object.entries(piece.allowances || {});
  const put = (entries) => store.put([...at, "allowances"], entries.length ? Object.fromEntries(entries) : undefined);
  return make("div", {},
    listed.map(([name, width], k) => row(
      text(store, { label: "edge", about: `allowance ${k + 1}`, value: name, name: `allowances.${name}.edge`, list: "edge-names", size: "middle", keep: true,
        then: (value, input) => {
          if (listed.some(([other], n) => n !== k && other === input.value)) return;
          store.remember(`allowance of ${k}`);
          listed[k][0] = input.value;
          put(listed);
          store.tell("typed");
        } }),
      text(store, { label: "allowance", about: name, path: [...at, "allowances", name], name: `allowances.${name}`, keep: true,
        then: (value) => {
          store.remember(`allowance by ${k}`);
          listed[k][1] = value;
          put(listed);
          store.tell("typed");
        } }),
      button("Take out", () => store.change(() => put(listed.filter((_, n) => n !== k))), { about: `allowance of ${name}` }))),
    row(button("Another allowance at one edge", () => store.change(() => put([...listed, ["", ""]]))),
      text(store, { label: "edge on the fold", path: [...at, "fold"], name: "fold", list: "edge-names", size: "middle", take: (v) => v }),
      text(store, { label: "turned up", path: [...at, "turned_up"], name: "turned_up", list: "edge-names", size: "middle",
        value: [piece.turned_up ?? []].flat().join(" + "), take: (v) => { const all = v.split("+").map((one) => one.trim()).filter(Boolean); return all.length > 1 ? all : all[0]; } })));
}

function grainPart(store, at) {
  const piece = store.get(at);
  const way = wayOf(piece);
  if (!["edges", "path"].includes(way)) return null;
  const now = typeof piece.grain === "string" ? piece.grain : piece.grain ? "arrow" : "";
  return group("Grain", "grain", row(
    choice(store, { label: "runs", name: "grain", value: now, choices: [["", "not said"], "up", "down", "right", "left", ["arrow", "from a point to another"]],
      then: (to) => store.change(() => store.put([...at, "grain"], to === "arrow" ? [["", ""], ["", ""]] : to || undefined)) }),
    now === "arrow" ? ["tail", "head"].map((end, k) => make("span", { class: "rowed" }, make("span", { class: "hint", text: end }),
      point(store, { path: [...at, "grain", k], name: `grain[${k + 1}]`, about: `grain, ${end}` }))) : null));
}

function outlinePart(store, at) {
  const way = wayOf(store.get(at));
  const along = (key) => group(key === "band" ? "Band" : "Bias strip", key, row(tableFields(store,
    [["along", "names", "along", "sewn-names"], ["width", "length", "cut width"], ["longer", "length", "longer by"], ["bias", "tick", "on the bias", key === "binding"]], [...at, key], key)),
    make("p", { class: "hint", text: "Along one edge or several: front.neck + back.neck" }));
  switch (way) {
    case "edges": return edgesPart(store, at);
    case "strip": return group("Strip", "strip", row(tableFields(store, [["length", "length", "length"], ["width", "length", "width"], ["bias", "tick", "on the bias"]], [...at, "strip"], "strip")));
    case "like": return group("Like another piece", "like", row(
      text(store, { label: "piece", path: [...at, "like"], name: "like", list: "piece-names", size: "middle", keep: true, take: (v) => v }),
      tick(store, { label: "mirrored", path: [...at, "mirrored"], name: "mirrored" })));
    case "facing": return group("Facing", "facing", row(tableFields(store, [["of", "piece", "of piece"], ["edge", "words", "along its edge"], ["width", "length", "width"]], [...at, "facing"], "facing")));
    case "path": return group("Path", "path", row(
      text(store, { label: "SVG path data", path: [...at, "path"], name: "path", size: "long", keep: true, take: (v) => v }),
      text(store, { label: "one unit of it is", path: [...at, "path_unit"], name: "path_unit" })));
    default: return along(way);
  }
}

const verbOf = (edit) => Object.keys(VERBS).find((verb) => edit && edit[verb] !== undefined) || "drop";

function editsPart(store, at) {
  const path = [...at, "edits"];
  const points = (edit) => Array.isArray(edit.lengthen) || Array.isArray(edit.shorten);
  return make("div", {}, make("h2", { text: "Changes to the outline, in order" }),
    ["shorten", "lengthen"].filter((key) => store.get([...at, key]) !== undefined).map((key) => group(key, key, row(
      store.get([...at, key, "line"]) !== undefined
        ? point(store, { path: [...at, key, "line"], name: `${key}.line`, about: `${key} at the line through` })
        : tableFields(store, LONGER.slice(0, 1), [...at, key], key, key),
      tableFields(store, LONGER.slice(1), [...at, key], key, key),
      button("Take out", () => store.change(() => store.put([...at, key], undefined)), { about: key })))),
    listRows(store, {
      words: "change", path, name: "edits", add: "One more change", fresh: () => ({ lengthen: "", by: "" }),
      one: (edit, k) => {
        if (typeof edit !== "object" || points(edit)) return make("pre", { tabindex: "0", text: asWritten(edit) });
        const verb = verbOf(edit);
        return [choice(store, { label: "do", about: `change ${k + 1}`, name: `edits[${k + 1}].verb`, value: verb, choices: Object.keys(VERBS),
          then: (to) => store.change(() => {
            const fresh = {};
            for (const [key, kind] of VERBS[to]) {
              const old = edit[key] ?? (key === to && VERBS[verb][0][1] === kind ? edit[verb] : undefined);
              const value = old ?? (FRESH[kind] ? FRESH[kind]() : "");
              if (value !== undefined && !(to === "slash" && key === "overlap" && old === undefined)) fresh[key] = value;
            }
            store.put([...path, k], fresh);
          }) }), ...tableFields(store, VERBS[verb], [...path, k], `edits[${k + 1}]`, `change ${k + 1}`)];
      },
    }));
}

function notchesPart(store, at) {
  return make("div", {}, make("h2", { text: "Notches" }), listRows(store, {
    words: "notch", path: [...at, "notches"], name: "notches", add: "One more notch", fresh: () => ({ edge: "", at: "" }),
    hint: "How far along an edge from where it begins; start, middle or end will do, too.",
    one: (_, k) => tableFields(store, [["edge", "edge", "edge"], ["at", "length", "at"], ["name", "words", "name, if any"]], [...at, "notches", k], `notches[${k + 1}]`, `notch ${k + 1}`),
  }));
}

function morePart(store, at) {
  const piece = store.get(at);
  const strip = ["strip", "band", "binding"].includes(wayOf(piece));
  const others = Object.keys(piece).filter((key) => !SHOWN.has(key));
  return make("div", {}, group("On the cloth", "turns", row(
    choice(store, { label: "grain along the cloth", path: [...at, "turns"], name: "turns", choices: [["", "as usual"], ["along", "along the warp"], ["across", "across the warp"], ["bias", "on the bias"], ["any", "any way round"]] }),
    choice(store, { label: "hand that is drawn", path: [...at, "hand"], name: "hand", choices: [["", "not said"], "right", "left"] }),
    tick(store, { label: "laid whole, not on a fold", path: [...at, "opened_out"], name: "opened_out" }),
    strip || piece.heading_free ? tick(store, { label: "heading free on one-way cloth", path: [...at, "heading_free"], name: "heading_free" }) : null),
    strip || piece.joinable ? tick(store, { label: "may be cut in parts and joined", value: piece.joinable !== undefined, name: "joinable.on",
      then: (on) => store.change(() => store.put([...at, "joinable"], on ? { min_part: "", allowance: "" } : undefined)) }) : null,
    piece.joinable !== undefined ? row(tableFields(store, [["min_part", "length", "shortest part"], ["allowance", "length", "allowance at a join"], ["on_grain", "tick", "joined on the grain"]], [...at, "joinable"], "joinable")) : null),
    others.length ? group("Kept as it is, and changed in the file's text", "others", others.map((key) =>
      make("div", { "data-field": key, tabindex: "-1" }, make("pre", { tabindex: "0", text: `${key} = ${asWritten(piece[key])}` })))) : null);
}

/** All rows of one piece, in the size that is shown. */
export function piecePart(store, k, leave, size, choose) {
  const at = ["piece", k];
  const first = sizePart(store, k, size, choose);
  if (!size) return [first.box, wholePart(store, k, leave)];
  const inSize = new InSize(store, k, size, first.refresh);
  const outline = wayOf(store.get(at)) === "like" ? null : outlinePart(inSize, at);
  return [first.box, allowancePart(inSize, at), outline, grainPart(inSize, at), notchesPart(inSize, at), matchPart(inSize, at),
    editsPart(inSize, at), morePart(inSize, at)];
}

function wholePart(store, k, leave) {
  const at = ["piece", k];
  let before = null;
  let old = "";
  const rename = text(store, { label: "name", path: [...at, "name"], name: "name", size: "middle", keep: true,
    then: (value, input) => {
      if (before === null) {
        before = copyOf(store.data);
        old = before.piece[k].name;
      }
      store.remember(`name of ${k}`);
      renamedPiece(store, before, k, old, input.value);
      store.tell("typed");
    } });
  rename.querySelector("input").addEventListener("focus", () => {
    before = null;
  });
  return [
    namePart(store, at, rename), cutPart(store, at), allowancePart(store, at), outlinePart(store, at), grainPart(store, at),
    notchesPart(store, at), matchPart(store, at), editsPart(store, at), morePart(store, at),
    row(button("A copy of this piece", () => leave.copy(k)), button("Take this piece out", () => leave.out(k), { kind: "danger small" })),
  ];
}

/** Whatever names a piece goes with it to its new name. */
function renamedPiece(store, before, k, old, now) {
  const data = store.data;
  const twice = data.piece.some((one, n) => n !== k && one.name === now);
  const goes = old && now && !twice;
  const swap = (value) => {
    if (Array.isArray(value)) return value.map(swap);
    if (value && typeof value === "object") return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, swap(one)]));
    if (typeof value !== "string") return value;
    const times = value.match(/^(\s*\d+\s*x\s+)?(.*)$/s);
    return times[2].startsWith(`${old}.`) ? `${times[1] || ""}${now}${times[2].slice(old.length)}` : value;
  };
  const same = (value) => (value === old ? now : value);
  if (goes) {
    for (const key of ["sew", "shorter"]) if (before[key] !== undefined) data[key] = swap(before[key]);
    before.piece.forEach((one, n) => {
      const piece = data.piece[n];
      if (one.like !== undefined) piece.like = same(one.like);
      if (one.facing && typeof one.facing === "object") piece.facing = { ...one.facing, of: same(one.facing.of) };
      for (const key of ["band", "binding"]) if (one[key]) piece[key] = swap(one[key]);
      if (Array.isArray(one.edits)) piece.edits = one.edits.map((edit) => (edit && edit.of !== undefined ? { ...edit, of: same(edit.of) } : edit));
    });
  }
  data.piece[k].name = now;
}
