// What stands in the form, and what stood there before: undo and redo.

const MOST = 300;

export const copyOf = (value) => (value === undefined ? undefined : JSON.parse(JSON.stringify(value)));

export class Store extends EventTarget {
  constructor(data) {
    super();
    this.data = data;
    this.past = [];
    this.future = [];
    this.typing = "";
  }

  get(path) {
    return path.reduce((at, key) => (at === undefined || at === null ? undefined : at[key]), this.data);
  }

  /** Remember how it was; what is typed in one field in one go is one step. */
  remember(mark = "") {
    if (mark && mark === this.typing) return;
    this.past.push(JSON.stringify(this.data));
    if (this.past.length > MOST) this.past.shift();
    this.future = [];
    this.typing = mark;
  }

  /** The field is left: what is typed there later is a step of its own. */
  rest() {
    this.typing = "";
  }

  put(path, value) {
    const last = path[path.length - 1];
    let at = this.data;
    path.slice(0, -1).forEach((key, n) => {
      if (at[key] === undefined || at[key] === null || typeof at[key] !== "object") {
        at[key] = typeof path[n + 1] === "number" ? [] : {};
      }
      at = at[key];
    });
    if (value !== undefined) at[last] = value;
    else if (Array.isArray(at)) at.splice(last, 1);
    else delete at[last];
  }

  /** Put one typed value in its place; undefined takes it out. */
  type(path, value, mark = JSON.stringify(path)) {
    this.remember(mark);
    this.put(path, value);
    this.tell("typed");
  }

  /** Change the whole in one step; the rows are drawn anew. */
  change(how) {
    this.remember();
    how(this.data);
    this.tell("changed");
  }

  /** Put other contents in place of these, which undo brings back. */
  replace(data) {
    this.remember();
    this.data = data;
    this.tell("changed");
  }

  undo() {
    this.step(this.past, this.future);
  }

  redo() {
    this.step(this.future, this.past);
  }

  step(from, to) {
    if (!from.length) return;
    to.push(JSON.stringify(this.data));
    this.data = JSON.parse(from.pop());
    this.typing = "";
    this.tell("changed");
  }

  /** Leave the steps to the next page of this tab: a reload, other units, another look. */
  leave(key) {
    const now = JSON.stringify(this.data);
    for (let most = MOST; most > 0; most = Math.floor(most / 3)) {
      try {
        sessionStorage.setItem(key, JSON.stringify({ now, past: this.past.slice(-most), future: this.future.slice(-most) }));
        return;
      } catch {
        // No room for so many, or none at all: the latest are worth most.
      }
    }
  }

  /** Take the steps up that led to these contents; false if none were left. */
  takeUp(key, data) {
    try {
      const left = JSON.parse(sessionStorage.getItem(key) || "null");
      if (!left || left.now !== JSON.stringify(data)) return false;
      [this.data, this.past, this.future] = [data, left.past, left.future];
      return true;
    } catch {
      return false;
    }
  }

  tell(kind) {
    this.dispatchEvent(new Event(kind));
  }
}

/** A figure without a unit is kept as a number, as it would be typed into a file. */
export function typed(text) {
  const trimmed = text.trim();
  return /^-?(0|[1-9]\d{0,8})(\.\d{1,6})?$/.test(trimmed) ? Number(trimmed) : text;
}

export const shown = (value) => (value === undefined || value === null ? "" : String(value));
