// What is typed is kept within a second, and nobody's work is written over.
import { send } from "./page.js";

const SOON_MS = 350;
const AGAIN_MS = 2000;

export class Keeper extends EventTarget {
  constructor(where, store, opened) {
    super();
    this.where = where;
    this.store = store;
    this.tab = Math.random().toString(36).slice(2, 10);
    this.take(opened);
    this.unsaved = false;
    this.busy = null;
    this.timer = 0;
    this.stopped = false;
    this.place = `laywright-typed:${opened.name}`;
    this.others = new BroadcastChannel(`laywright-draft:${opened.name}`);
    this.others.onmessage = ({ data }) => {
      if (data.stamp !== this.stamp) this.say("elsewhere");
    };
    addEventListener("pagehide", () => this.flush());
    document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && this.flush());
    addEventListener("beforeunload", (event) => {
      if (this.unsaved) {
        this.flush();
        event.preventDefault();
      }
    });
  }

  /** Go on from what the program has. */
  take(opened) {
    this.stamp = opened.stamp;
    this.former = opened.former;
    this.whole = true;
  }

  say(kind, detail) {
    this.dispatchEvent(new CustomEvent(kind, { detail }));
  }

  /** Something was typed: it is kept soon, also while the typing goes on. */
  changed() {
    this.unsaved = true;
    if (!this.timer && !this.stopped) this.timer = setTimeout(() => this.keep(), SOON_MS);
  }

  /** What is sent; the text that it all began from only where the program does not have it. */
  body(whole = this.whole) {
    const former = whole ? { former: this.former } : { former_is_kept: true };
    return { data: this.store.data, ...former, seen: this.stamp, tab: this.tab };
  }

  async send(what, more = {}) {
    const address = `${this.where}/draft/${what}`;
    const former = this.former;
    let answer;
    try {
      answer = await send(address, { ...this.body(), ...more });
    } catch (error) {
      if (error.field !== "former") throw error;
      answer = await send(address, { ...this.body(true), ...more });
    }
    if (former === this.former) this.whole = false;
    return answer;
  }

  async keep() {
    clearTimeout(this.timer);
    this.timer = 0;
    if (this.stopped) return;
    if (this.busy) {
      await this.busy;
      if (!this.unsaved || this.stopped) return;
    }
    this.unsaved = false;
    this.busy = this.tryToKeep();
    await this.busy;
    this.busy = null;
  }

  async tryToKeep() {
    try {
      const answer = await this.send("keep");
      this.heard(answer);
      localStorage.removeItem(this.place);
    } catch (error) {
      this.unsaved = true;
      this.remember();
      this.say("failed", error);
      if (!this.timer) this.timer = setTimeout(() => this.keep(), AGAIN_MS);
    }
  }

  heard(answer) {
    if (answer.other_tab) {
      this.stopped = true;
      this.say("other", answer.other_tab);
      return false;
    }
    this.stamp = answer.stamp;
    this.others.postMessage({ stamp: this.stamp });
    this.say("kept", answer);
    return !answer.disk && !answer.findings;
  }

  async put() {
    if (this.busy) await this.busy;
    clearTimeout(this.timer);
    this.timer = 0;
    const answer = await this.send("put");
    this.unsaved = false;
    if (this.heard(answer)) this.take(answer);
    return answer;
  }

  /** The browser keeps it where the program does not answer. */
  remember() {
    try {
      localStorage.setItem(this.place, JSON.stringify({ data: this.store.data, former: this.former, seen: this.stamp, tab: this.tab }));
    } catch {
      // No room, or none allowed: the tab itself still has it.
    }
  }

  /** What the program never got; null if it did. */
  remembered() {
    const text = localStorage.getItem(this.place);
    localStorage.removeItem(this.place);
    const kept = text ? JSON.parse(text) : null;
    if (!kept) return null;
    const follows = kept.seen === this.stamp;
    // The last that the tab sent may have come through without its answer.
    return follows || !this.stamp.startsWith(`${kept.tab}.`) ? { data: kept.data, follows } : null;
  }

  flush() {
    if (!this.unsaved || this.stopped) return;
    this.remember();
    const body = JSON.stringify(this.body());
    fetch(`${this.where}/draft/keep`, {
      method: "POST", keepalive: body.length < 60000, headers: { "Content-Type": "application/json", Accept: "application/json" }, body,
    }).then((answer) => {
      if (answer.ok) localStorage.removeItem(this.place);
    }).catch(() => {});
  }
}
