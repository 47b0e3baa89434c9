// A plan moved by hand: pieces are dragged, nudged, turned, kept; what is wrong is named at once.
import { clearFindings, fieldsOf, follow, hush, read, say, sayRefused, send } from "./page.js";
import { Barred, Lay } from "./moving_lay.js";
import { Steps } from "./moving_steps.js";

const DRAGGED_PX = 3;
const SNAP_PX = 14;
const SNAP_MM = [6, 60];
const STEP_MM = 1;
const FAR_MM = 10;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const NUDGES = { left: [-1, 0], right: [1, 0], up: [0, 1], down: [0, -1] };

class Mover {
  constructor(root, said) {
    this.root = root;
    this.at = root.dataset.at;
    this.fabric = Number(root.dataset.fabric);
    this.lay = new Lay(root.querySelector(".stage"), said);
    this.stage = this.lay.stage;
    this.names = said.pieces.map((piece) => `${piece.number} ${piece.name}`);
    this.index = new Map(said.pieces.map((piece, index) => [piece.number, index]));
    this.choices = [...root.querySelectorAll(".choice")];
    this.keeps = [...root.querySelectorAll(".keep")];
    const first = { places: said.places, by_hand: [], kept: [], shortest: null };
    this.steps = new Steps(first, `laywright-moving ${root.dataset.name} ${this.fabric}`, root.dataset.stamp);
    this.chosen = null;
    this.held = null;
    this.asking = 0;
    this.lay.show(said.places, said.extents);
    this.tell(said);
    if (this.steps.recall()) {
      say("What you moved before is here again. Undo takes it back.");
      this.changed();
    }
    this.listen();
    this.buttons();
  }

  find(selector) {
    return this.root.querySelector(selector);
  }

  get state() {
    return this.steps.now;
  }

  /** What is asked of the program about the lay as it is. */
  ask(what, more = {}) {
    const { places, by_hand, kept, shortest } = this.state;
    return send(`${this.at}/${what}`, { fabric: this.fabric, places, by_hand, kept, shortest, ...more });
  }

  // Choosing

  choose(index, bring = false) {
    this.chosen = index;
    this.choices.forEach((one, k) => one.setAttribute("aria-pressed", String(k === index)));
    this.lay.mark("lit", new Set(index === null ? [] : [index]));
    if (index !== null) {
      this.lay.raise(index);
      const list = this.choices[index].closest("ul");
      const row = this.choices[index].closest("li");
      if (row.offsetTop < list.scrollTop || row.offsetTop + row.offsetHeight > list.scrollTop + list.clientHeight) {
        list.scrollTop = row.offsetTop - list.clientHeight / 3;
      }
      if (bring) this.lay.bring(index);
      this.take(index);
      this.judge(index);
    }
    this.buttons();
  }

  /** Learn where a piece may not be; kept until anything else is moved. */
  async take(index) {
    if (this.held && this.held.index === index && this.held.state === this.others(index)) return;
    const state = this.others(index);
    try {
      const said = await this.ask("hold", { piece: index });
      this.held = { index, state, barred: new Barred(said) };
    } catch {
      this.held = null;
    }
  }

  /** What decides where a piece may be: its pose and the places of all others. */
  others(index) {
    const { places } = this.state;
    return JSON.stringify([places[index].slice(0, 2), places.filter((_, k) => k !== index)]);
  }

  // Changes

  /** A piece lies elsewhere: shown at once, judged by the program. */
  put(index, place, kind = "") {
    const places = this.state.places.map((one, k) => (k === index ? place : one));
    const by_hand = [...new Set([...this.state.by_hand, index])].sort((a, b) => a - b);
    this.steps.go({ places, by_hand, kept: [], shortest: null }, kind);
    this.changed(index);
  }

  changed(index = null) {
    this.lay.show(this.state.places);
    this.buttons();
    return this.judge(index);
  }

  async judge(index) {
    const mine = ++this.asking;
    try {
      const said = await this.ask("judge", index === null ? {} : { piece: index });
      // What is in the hand is judged when it is let go.
      if (mine === this.asking && !this.drag) this.answered(said);
    } catch (error) {
      if (mine === this.asking) sayRefused(error);
    }
  }

  /** The program said how the lay is. */
  answered(said) {
    this.steps.settle({ places: said.places });
    this.lay.show(said.places, said.extents);
    this.tell(said);
    if (this.chosen !== null) this.take(this.chosen);
  }

  tell(said) {
    const bad = new Set(said.wrong.flatMap((one) => one.numbers).map((number) => this.index.get(number)));
    this.lay.mark("bad", bad);
    this.choices.forEach((one, k) => one.classList.toggle("bad", bad.has(k)));
    this.find("#figures").textContent = said.figures.join("; ");
    this.find("#where").textContent = said.where || "";
    this.name(said.wrong.map((one) => one.text));
    this.sound = said.wrong.length === 0;
  }

  name(lines) {
    const place = this.find("#wrong");
    if (!lines.length) return void say("All pieces lie as they may.", "well", place);
    const list = document.createElement("ul");
    for (const line of lines) {
      const item = document.createElement("li");
      item.dir = "auto";
      item.textContent = line;
      list.append(item);
    }
    const box = document.createElement("div");
    box.className = "wrong";
    box.append(list);
    place.replaceChildren(box);
  }

  async turn(over, back = false) {
    if (this.chosen === null) return;
    const index = this.chosen;
    try {
      hush();
      const said = await this.ask("turn", { piece: index, over, back });
      this.put(index, said.places[index]);
    } catch (error) {
      sayRefused(error);
    }
  }

  nudge([dx, dy], far) {
    if (this.chosen === null) return;
    const size = far ? FAR_MM : STEP_MM;
    const now = this.state.places[this.chosen];
    const next = this.lay.nudged(this.chosen, now, dx * size, dy * size);
    if (next[2] !== now[2] || next[3] !== now[3]) this.put(this.chosen, next, `nudge ${this.chosen}`);
  }

  get reach() {
    return Math.min(SNAP_MM[1], Math.max(SNAP_MM[0], SNAP_PX * this.lay.perPx));
  }

  async snapped(index, place, within) {
    const { snap } = await this.ask("snap", { piece: index, x: place[2], y: place[3], within });
    return snap && { place: [place[0], place[1], snap.x, snap.y], touches: snap.touches };
  }

  /** Lay the chosen piece against what is nearest, looking further and further. */
  async against() {
    if (this.chosen === null) return;
    const index = this.chosen;
    try {
      for (const within of [10, 40, 150, 500]) {
        const found = await this.snapped(index, this.state.places[index], within);
        if (found) return this.put(index, found.place);
      }
      say("Nothing is near enough to lay it against.");
    } catch (error) {
      sayRefused(error);
    }
  }

  undo(by) {
    if (this.steps.move(by)) this.changed(this.chosen);
  }

  // Dragging

  begin(event, index) {
    if (event.button !== 0) return;
    const touch = event.pointerType === "touch";
    // With a finger a piece is chosen first, so that the page can be scrolled over the lay.
    if (touch && this.chosen !== index) return;
    // Or else the browser would mark text, and drag that the next time.
    event.preventDefault();
    if (this.chosen !== index) this.choose(index);
    const from = this.lay.at(event);
    this.drag = { index, from, start: this.state.places[index], screen: [event.clientX, event.clientY], moved: false };
    this.lay.svg.setPointerCapture(event.pointerId);
    this.stage.focus({ preventScroll: true });
  }

  move(event) {
    const drag = this.drag;
    if (!drag) return;
    if (!drag.moved && Math.hypot(event.clientX - drag.screen[0], event.clientY - drag.screen[1]) < DRAGGED_PX) return;
    drag.moved = true;
    const to = this.lay.at(event);
    const [turn, over, x, y] = drag.start;
    drag.place = this.lay.tied(drag.index, [turn, over, x + to.x - drag.from.x, y + to.y - drag.from.y]);
    drag.free = event.altKey || !this.find("#snapping").checked;
    if (drag.waiting) return;
    drag.waiting = true;
    requestAnimationFrame(() => this.frame(drag));
  }

  frame(drag) {
    drag.waiting = false;
    if (this.drag !== drag) return;
    this.frames = (this.frames || 0) + 1;
    const { group } = this.lay.pieces[drag.index];
    group.classList.add("dragged");
    this.lay.put(drag.index, drag.place);
    if (this.held && this.held.index === drag.index) this.glance(drag);
    if (drag.free) this.lay.showGhost(drag.index, (drag.ghost = null));
    else this.follow(drag);
  }

  /** What the piece in the hand meets, before the program has judged it. */
  glance(drag) {
    const { met, off } = this.held.barred.at(drag.place[2], drag.place[3]);
    const bad = new Set(met.filter((number) => number).map((number) => this.index.get(number)));
    if (met.length || off) bad.add(drag.index);
    this.lay.mark("bad", bad);
    const mine = this.names[drag.index];
    const lines = met.map((number) =>
      number ? `${mine} overlaps ${this.names[this.index.get(number)]}, or lies nearer than the gap.` : `${mine} is too near a flaw.`,
    );
    if (off) lines.push(`${mine} reaches beyond the usable cloth.`);
    const said = lines.join();
    if (said !== drag.said) this.name(lines);
    drag.said = said;
  }

  /** Show where the piece would snap to; one question at a time. */
  async follow(drag) {
    if (drag.asking) return;
    drag.asking = true;
    const asked = drag.place;
    try {
      const found = await this.snapped(drag.index, asked, this.reach);
      if (this.drag !== drag || drag.free) return;
      drag.ghost = found && { asked, place: found.place };
      this.lay.showGhost(drag.index, found && found.place);
    } catch {
      drag.ghost = null;
    } finally {
      drag.asking = false;
    }
  }

  async drop() {
    const drag = this.drag;
    this.drag = null;
    if (!drag) return;
    this.lay.pieces[drag.index].group.classList.remove("dragged");
    this.lay.showGhost(drag.index, null);
    if (!drag.moved || !drag.place) return void this.judge(drag.index);
    let place = drag.place;
    if (!drag.free) {
      try {
        const found = await this.snapped(drag.index, place, this.reach);
        if (found) place = found.place;
      } catch (error) {
        sayRefused(error);
      }
    }
    this.put(drag.index, place);
  }

  cancel() {
    const drag = this.drag;
    if (!drag) return false;
    this.drag = null;
    this.lay.pieces[drag.index].group.classList.remove("dragged");
    this.lay.showGhost(drag.index, null);
    this.changed(drag.index);
    return true;
  }

  // Laying again, and keeping

  get staying() {
    return this.keeps.filter((one) => one.checked).map((one) => Number(one.dataset.piece));
  }

  stay() {
    const staying = this.staying;
    this.lay.mark("stays", new Set(staying));
    this.find("#chosen-to-stay").textContent = staying.length
      ? `${staying.length} of ${this.keeps.length} stay.`
      : "Tick what is to stay first.";
    this.buttons();
  }

  async again() {
    hush();
    this.busy = true;
    this.buttons();
    const words = this.find("#work-words");
    const over = () => {
      this.busy = false;
      this.work = null;
      this.find("#work").hidden = true;
      this.buttons();
    };
    try {
      const work = await this.ask("again", { keep: this.staying });
      this.find("#work").hidden = false;
      words.textContent = "laying the rest again";
      this.work = follow(work, {
        stage: (said) => (words.textContent = said.words),
        best: (said) => (words.textContent = `shortest so far: ${said.words}`),
        beat: () => {},
        done: (said) => {
          over();
          this.steps.go({ places: said.places, by_hand: said.by_hand, kept: said.kept, shortest: said.shortest });
          this.changed();
          say("The rest was laid again around what you kept. Undo takes that back.", "well");
        },
        failed: (said) => {
          over();
          say(said.lines, "wrong").scrollIntoView({ block: "nearest" });
        },
        ending: () => {
          over();
          say("The program is ending; the lay is as it was.", "note");
        },
      });
    } catch (error) {
      over();
      sayRefused(error);
    }
  }

  async keep(event) {
    event.preventDefault();
    const form = event.target;
    clearFindings(form);
    const button = form.querySelector("button");
    button.disabled = true;
    const over = () => (button.disabled = false);
    try {
      const work = await this.ask("keep", fieldsOf(form));
      follow(work, {
        stage: (said) => say(said.words),
        beat: () => {},
        done: (said) => {
          this.steps.forget();
          location.assign(said.go);
        },
        failed: (said) => {
          over();
          say(said.lines, "wrong").scrollIntoView({ block: "nearest" });
        },
      });
    } catch (error) {
      over();
      sayRefused(error, form);
    }
  }

  // Buttons and keys

  buttons() {
    const piece = this.chosen === null ? null : this.lay.said.pieces[this.chosen];
    const now = piece && this.state.places[this.chosen];
    const off = {
      turn: !piece || piece.poses.filter((pose) => pose.over === now[1]).length < 2,
      over: !piece || !piece.poses.some((pose) => pose.over !== now[1]),
      undo: !this.steps.canUndo,
      redo: !this.steps.canRedo,
      again: !this.staying.length || this.busy,
    };
    for (const button of this.root.querySelectorAll("[data-do]")) {
      const what = button.dataset.do;
      if (what in off) button.disabled = off[what];
      else if (what === "snap" || what in NUDGES) button.disabled = !piece;
    }
  }

  do(what) {
    const far = this.find("#far").checked;
    if (what === "turn") this.turn(false);
    else if (what === "over") this.turn(true);
    else if (what === "snap") this.against();
    else if (what in NUDGES) this.nudge(NUDGES[what], far);
    else if (what === "undo") this.undo(-1);
    else if (what === "redo") this.undo(1);
    else if (what === "larger") this.scale(1.4);
    else if (what === "smaller") this.scale(1 / 1.4);
    else if (what === "again") this.again();
    else if (what === "enough" && this.work) this.work.end();
  }

  scale(factor) {
    this.lay.scale(factor);
    if (this.chosen !== null) this.lay.bring(this.chosen);
  }

  key(event) {
    if (event.key === "Escape" && this.cancel()) return event.preventDefault();
    const typing = event.target.closest("input:not([type=checkbox]), textarea, select");
    if ((event.ctrlKey || event.metaKey) && !typing) {
      const back = event.key.toLowerCase() === "z" && !event.shiftKey;
      const forth = event.key.toLowerCase() === "y" || (event.key.toLowerCase() === "z" && event.shiftKey);
      if (!back && !forth) return;
      event.preventDefault();
      return this.undo(back ? -1 : 1);
    }
    if (event.altKey || !event.target.closest(".stage, .choice, .tools button")) return;
    const does = {
      r: () => this.turn(false), R: () => this.turn(false, true), f: () => this.turn(true), F: () => this.turn(true),
      s: () => this.against(), k: () => this.toggle(), PageDown: () => this.next(1), PageUp: () => this.next(-1),
    }[event.key];
    if (event.key in ARROWS && this.chosen !== null) {
      event.preventDefault();
      this.nudge(ARROWS[event.key], event.shiftKey);
    } else if (does) {
      event.preventDefault();
      does();
    }
  }

  next(by) {
    const count = this.choices.length;
    const to = this.chosen === null ? (by > 0 ? 0 : count - 1) : (this.chosen + by + count) % count;
    this.choose(to, true);
    if (document.activeElement.closest(".choice")) this.choices[to].focus();
  }

  toggle() {
    if (this.chosen === null) return;
    const box = this.keeps[this.chosen];
    box.checked = !box.checked;
    this.stay();
    this.find("#where").textContent = `${this.names[this.chosen]} ${box.checked ? "stays" : "need not stay"}`;
  }

  listen() {
    for (const button of this.root.querySelectorAll("[data-do]")) {
      button.addEventListener("click", () => this.do(button.dataset.do));
    }
    this.choices.forEach((choice, index) => choice.addEventListener("click", () => this.choose(index, true)));
    for (const box of this.keeps) box.addEventListener("change", () => this.stay());
    this.root.addEventListener("keydown", (event) => this.key(event));
    const svg = this.lay.svg;
    svg.addEventListener("pointerdown", (event) => {
      const group = event.target.closest(".held");
      if (group) this.begin(event, Number(group.dataset.piece));
    });
    svg.addEventListener("pointermove", (event) => this.move(event));
    svg.addEventListener("mousedown", (event) => event.target.closest(".held") && event.preventDefault());
    svg.addEventListener("pointerup", () => this.drop());
    svg.addEventListener("pointercancel", () => this.cancel());
    svg.addEventListener("click", (event) => {
      const group = event.target.closest(".held");
      if (group && this.chosen !== Number(group.dataset.piece)) this.choose(Number(group.dataset.piece));
    });
    this.find("#keep-form").addEventListener("submit", (event) => this.keep(event));
  }
}

const root = document.getElementById("moving");
if (root) {
  try {
    const said = await read(`${root.dataset.at}/lay?fabric=${root.dataset.fabric}`);
    root.mover = new Mover(root, said);
    root.dataset.ready = "";
  } catch (error) {
    sayRefused(error);
  }
}
