// Sizes of a garment: their names, and what differs in one of them.
import { button, choice, group, make, row, text } from "./draft_fields.js";
import { copyOf } from "./draft_store.js";

const SAME = new Set(["@", "name", "cut", "like", "sizes", "block"]);
const USUAL = ["M", "L", "XL", "S", "XS"];
const isTable = (value) => Boolean(value) && typeof value === "object" && !Array.isArray(value);
const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** Names of the sizes as they are listed; null where what stands there is no list of names. */
export function sizesOf(data) {
  const listed = data.sizes ?? [];
  return Array.isArray(listed) && listed.every((one) => typeof one === "string") ? listed : null;
}

/** Sizes whose own figures a piece can be shown in; that which is drawn only if it has some. */
function otherSizes(data, piece) {
  const sizes = sizesOf(data) || [];
  const drawn = data.drawn_size || sizes[0];
  if (piece.sizes !== undefined && !(isTable(piece.sizes) && Object.values(piece.sizes).every(isTable))) return [];
  return sizes.filter((one, k) => one && sizes.indexOf(one) === k && (one !== drawn || (piece.sizes || {})[one]));
}

/** The size that is shown, if the piece can be shown in it; else none, which is as drawn. */
export function knownSize(data, k, size) {
  return k >= 0 && otherSizes(data, data.piece[k]).includes(size) ? size : "";
}

/** What an emptied field of a size is there: a file cannot leave out what it says as drawn. */
function emptied(value) {
  if (Array.isArray(value)) return [];
  if (value === true) return false;
  return isTable(value) ? {} : undefined;
}

/** The store as one size of a piece has it: what is typed there holds for that size alone. */
export class InSize {
  constructor(store, k, size, then) {
    this.store = store;
    this.then = then;
    this.at = ["piece", k];
    this.size = size;
    const { sizes, ...piece } = copyOf(store.get(this.at));
    this.view = { ...piece, ...((sizes || {})[size] || {}) };
  }

  within(path) {
    return path.length >= 2 && path[0] === "piece" && path[1] === this.at[1];
  }

  get(path) {
    if (!this.within(path)) return this.store.get(path);
    return path.slice(2).reduce((at, key) => (at === undefined || at === null ? undefined : at[key]), this.view);
  }

  put(path, value) {
    if (!this.within(path)) return this.store.put(path, value);
    const whole = { data: { view: this.view } };
    this.store.put.call(whole, ["view", ...path.slice(2)], value);
    return this.settle();
  }

  /** Write what differs into the piece, and nothing that does not. */
  settle() {
    const piece = this.store.get(this.at);
    const differs = Object.entries(this.view).filter(([key, value]) => !SAME.has(key) && !same(value, piece[key]));
    const gone = Object.keys(piece).filter((key) => !SAME.has(key) && this.view[key] === undefined);
    const changes = Object.fromEntries([...differs, ...gone.map((key) => [key, emptied(piece[key])])].filter(([, value]) => value !== undefined));
    const sizes = { ...piece.sizes, [this.size]: copyOf(changes) };
    if (!Object.keys(changes).length) delete sizes[this.size];
    if (Object.keys(sizes).length) piece.sizes = sizes;
    else delete piece.sizes;
    this.then();
  }

  remember(mark) {
    this.store.remember(mark && `${this.size}: ${mark}`);
  }

  type(path, value, mark = JSON.stringify(path)) {
    this.remember(mark);
    this.put(path, value);
    this.tell("typed");
  }

  change(how) {
    this.store.change(() => {
      how();
      this.settle();
    });
  }

  tell(kind) {
    this.settle();
    this.store.tell(kind);
  }

  dispatchEvent(event) {
    return this.store.dispatchEvent(event);
  }
}

/** Which size a piece is shown in, and what differs there; `refresh` shows what differs now. */
export function sizePart(store, k, size, choose) {
  const piece = store.get(["piece", k]);
  const differing = make("span", { class: "rowed" });
  const others = otherSizes(store.data, piece);
  const listed = sizesOf(store.data) || [];
  const strangers = isTable(piece.sizes) ? Object.keys(piece.sizes).filter((one) => !listed.includes(one)) : [];
  if (!others.length && !strangers.length) return { box: null };
  const leave = (of, key) => store.change(() => {
    const { [of]: changes, ...rest } = store.get(["piece", k, "sizes"]);
    const kept = key === undefined ? {} : Object.fromEntries(Object.entries(changes).filter(([one]) => one !== key));
    const sizes = Object.keys(kept).length ? { ...rest, [of]: kept } : rest;
    store.put(["piece", k, "sizes"], Object.keys(sizes).length ? sizes : undefined);
  });
  const drawn = store.data.drawn_size || listed[0];
  let shown = "";
  const refresh = () => {
    const keys = Object.keys(store.get(["piece", k, "sizes", size]) || {});
    if (keys.join() === shown) return;
    shown = keys.join();
    differing.replaceChildren(...keys.map((key) => button(`${key.replaceAll("_", " ")}: back to as drawn`, () => leave(size, key), { name: `as drawn ${key}` })));
  };
  refresh();
  const box = group("In sizes", "sizes", row(
    choice(store, { label: "shown in size", name: "size", value: size, choices: [["", `${drawn}, as drawn`], ...others.map((one) => [one, one])], then: choose }), differing),
    size ? make("p", { class: "hint", text: `What is typed now holds for size ${size} alone; all else is as drawn. Name, cloth and outline are the same in all sizes.` }) : null,
    strangers.map((one) => row(make("p", { class: "hint", dir: "auto", text: `Figures of size ${one}, which is not listed:` }), button("Take them out", () => leave(one), { about: `of size ${one}` }))));
  return { box, refresh };
}

/** A new name goes to all that bears the old one, unless another size has it. */
function renamed(data, before, k, now) {
  const old = before.sizes[k];
  const free = now && !before.sizes.some((one, n) => n !== k && one === now);
  const swap = (one) => (free && one === old ? now : one);
  data.sizes = before.sizes.map((one, n) => (n === k ? now : one));
  if (before.drawn_size !== undefined) data.drawn_size = swap(before.drawn_size);
  before.piece.forEach((one, n) => {
    if (isTable(one.sizes)) data.piece[n].sizes = Object.fromEntries(Object.entries(one.sizes).map(([key, value]) => [swap(key), value]));
  });
}

function takenOut(data, k) {
  const [name] = data.sizes.splice(k, 1);
  if (!data.sizes.length) delete data.sizes;
  if (data.drawn_size === name) delete data.drawn_size;
  for (const piece of data.piece) {
    if (!isTable(piece.sizes)) continue;
    delete piece.sizes[name];
    if (!Object.keys(piece.sizes).length) delete piece.sizes;
  }
}

/** The sizes that a garment comes in; null where the form cannot show what stands there. */
export function sizesPart(store) {
  const sizes = sizesOf(store.data);
  if (sizes === null) return null;
  const rows = sizes.map((name, k) => {
    let before = null;
    const box = text(store, { label: `size ${k + 1}`, name: `sizes[${k + 1}]`, value: name, size: "middle", keep: true,
      then: (_, input) => {
        before = before || copyOf(store.data);
        store.remember(`size ${k}`);
        renamed(store.data, before, k, input.value.trim());
        store.tell("typed");
      } });
    box.querySelector("input").addEventListener("focus", () => {
      before = null;
    });
    return row(box, button("Take out", () => store.change((data) => takenOut(data, k)), { about: `size ${name}` }));
  });
  const add = () => {
    const fresh = USUAL.find((one) => !sizes.includes(one)) || `size ${sizes.length + 1}`;
    store.change((data) => {
      data.sizes = [...sizes, fresh];
    });
    store.dispatchEvent(new CustomEvent("to", { detail: `sizes[${sizes.length + 1}]` }));
  };
  return group("Sizes, the smallest first", "sizes",
    make("p", { class: "hint", text: "Pieces are typed in the size that is drawn. What differs in another one is typed at the piece, shown in that size." }),
    rows, row(button("One more size", add, { name: "add sizes" }),
      sizes.length > 1 || store.data.drawn_size !== undefined ? choice(store, { label: "size that is drawn", path: ["drawn_size"], name: "drawn_size", choices: [["", `the smallest: ${sizes[0] || ""}`], ...new Set(sizes.filter(Boolean))] }) : null));
}
