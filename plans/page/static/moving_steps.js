// What was done to a lay, to be undone; it outlives a closed tab and an ended program.

const MOST = 500;

export class Steps {
  constructor(first, key, stamp) {
    this.states = [first];
    this.at = 0;
    this.key = key;
    this.stamp = stamp;
  }

  get now() {
    return this.states[this.at];
  }

  /** Go on to another state; a step like the last one (same `kind`) takes its place. */
  go(state, kind = "") {
    const same = kind && this.now.kind === kind && this.at === this.states.length - 1 && this.at > 0;
    if (!same) this.at += 1;
    this.states.splice(this.at, Infinity, { ...state, kind });
    if (this.states.length > MOST) {
      this.states.splice(1, 1);
      this.at -= 1;
    }
    this.remember();
  }

  /** Put right what the program answered, without a step. */
  settle(changes) {
    this.states[this.at] = { ...this.now, ...changes };
    this.remember();
  }

  move(by) {
    const to = this.at + by;
    if (to < 0 || to >= this.states.length) return false;
    this.at = to;
    this.remember();
    return true;
  }

  get canUndo() {
    return this.at > 0;
  }

  get canRedo() {
    return this.at < this.states.length - 1;
  }

  remember() {
    try {
      if (this.at === 0) localStorage.removeItem(this.key);
      else localStorage.setItem(this.key, JSON.stringify({ stamp: this.stamp, state: this.now }));
    } catch {
      // A browser that keeps nothing: what is moved lives as long as the page.
    }
  }

  /** Take up what was left by another page of this plan; false if there is nothing. */
  recall() {
    try {
      const left = JSON.parse(localStorage.getItem(this.key) || "null");
      if (!left || left.stamp !== this.stamp || left.state.places.length !== this.now.places.length) return false;
      this.go(left.state);
      return true;
    } catch {
      return false;
    }
  }

  forget() {
    try {
      localStorage.removeItem(this.key);
    } catch {
      // Nothing was kept.
    }
  }
}
