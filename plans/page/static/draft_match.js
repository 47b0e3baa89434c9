// Points of a piece that must meet those of others on checks and stripes.
import { choice, listRows, make, point, text, tick } from "./draft_fields.js";

const WHERE = [["edge", "on an edge"], ["point", "at a point"], ["notch", "at a notch with a name"]];
const AT = { edge: () => ({ edge: "", along: "" }), point: () => ["", ""], notch: () => "" };
const BARS = [["", "anywhere on it"], ["axis", "on the axis of its repeat"], ["between", "halfway between two axes"], ["away", "so far from the axis"]];

const whereOf = (at) => (Array.isArray(at) ? "point" : at && typeof at === "object" ? "edge" : "notch");
const barOf = (bar) => (bar === undefined ? "" : ["axis", "between"].includes(bar) ? bar : "away");

/** Groups that pieces of the garment name already, the latest first. */
function groupsOf(store) {
  const all = (store.get(["piece"]) || []).flatMap((piece) => [piece.match ?? []].flat()).map((one) => one && one.group);
  return [...new Set(all.filter((one) => typeof one === "string" && one))].reverse();
}

function whereFields(store, path, name, about) {
  const way = whereOf(store.get([...path, "at"]));
  const at = { path: [...path, "at"], name: `${name}.at` };
  const fields = {
    edge: () => [
      text(store, { label: "edge", about, path: [...at.path, "edge"], name: `${at.name}.edge`, list: "edge-names", size: "middle", keep: true, take: (v) => v }),
      text(store, { label: "along", about, path: [...at.path, "along"], name: `${at.name}.along`, keep: true })],
    point: () => [point(store, { ...at, about })],
    notch: () => [text(store, { ...at, label: "notch", about, list: "notch-names", size: "middle", keep: true, take: (v) => v })],
  };
  return make("span", { class: "rowed", "data-field": at.name },
    choice(store, { label: "lies", about, name: `${at.name}.kind`, value: way, choices: WHERE, then: (to) => store.change(() => store.put(at.path, AT[to]())) }),
    fields[way]());
}

function barFields(store, path, name, about) {
  const at = { path: [...path, "bar"], name: `${name}.bar` };
  const way = barOf(store.get(at.path));
  return make("span", { class: "rowed", "data-field": at.name },
    choice(store, { label: "on the design", about, name: `${at.name}.kind`, value: way, choices: BARS,
      then: (to) => store.change(() => store.put(at.path, to === "away" ? "" : to || undefined)) }),
    way === "away" ? text(store, { ...at, label: "from the axis", about, keep: true }) : null);
}

export function matchPart(store, at) {
  const groups = groupsOf(store);
  return make("div", {}, make("h2", { text: "Where checks and stripes must match" }),
    make("datalist", { id: "match-groups" }, groups.map((value) => make("option", { value }))),
    make("datalist", { id: "notch-names" }, ([store.get([...at, "notches"]) ?? []].flat()).filter((one) => one && one.name).map((one) => make("option", { value: one.name }))),
    listRows(store, {
      words: "match point", path: [...at, "match"], name: "match", add: "One more match point",
      fresh: () => ({ group: groups[0] || "check", at: AT.edge() }),
      hint: "Points of one group, each on its own piece, lie at the same place of the design: where a sleeve meets the front, say.",
      one: (entry, k, path, name) => {
        const about = `match point ${k + 1}`;
        return [
          text(store, { label: "group", about, path: [...path, "group"], name: `${name}.group`, list: "match-groups", size: "middle", keep: true, take: (v) => v }),
          whereFields(store, path, name, about), barFields(store, path, name, about),
          tick(store, { label: "along the cloth only", about, value: entry.only === "along", name: `${name}.only`,
            then: (on) => store.change(() => store.put([...path, "only"], on ? "along" : undefined)) }),
        ];
      },
    }));
}
