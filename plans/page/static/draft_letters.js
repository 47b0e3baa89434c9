// Letters that choose in a select: a select that is drawn anew forgets which came before.

/** How long a browser waits for the next letter; without one the next begins a word of its own. */
const NEXT_MS = 1000;

export class Letters {
  /** `draw` draws the rows of a form anew; it is put off while letters come. */
  constructor(form, draw) {
    this.form = form;
    this.draw = draw;
    this.typed = false;
    this.timer = 0;
    form.addEventListener("keydown", (event) => this.key(event), true);
    for (const kind of ["pointermove", "pointerdown"]) document.addEventListener(kind, () => this.hand(), true);
  }

  /** The hand goes to the mouse: what it clicks on must be rows as they are now. */
  hand() {
    this.typed = false;
    if (this.timer) this.now();
  }

  key(event) {
    const sign = event.key?.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey;
    // A space within a word is one of its signs; before it, it opens the list.
    this.typed = sign && event.target.matches("select") && (event.key !== " " || this.timer !== 0);
    if (!this.timer) return;
    if (this.typed) this.wait();
    else if (event.key === "Tab") {
      // The next field is that of the rows as they are now, where a browser would look among the former.
      event.preventDefault();
      this.now();
      step(event.shiftKey ? -1 : 1);
    }
  }

  /** Draw the rows, or put it off while letters come in a select that has the focus. */
  soon() {
    const at = document.activeElement;
    if (this.typed && this.form.contains(at) && at.matches("select")) this.wait();
    else this.now();
  }

  wait() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.now(), NEXT_MS);
  }

  now() {
    clearTimeout(this.timer);
    this.timer = 0;
    this.typed = false;
    this.draw();
  }
}

const FIELDS = "a[href], button, input, select, textarea, summary, [tabindex]";

/** Go to the next or the former of all that the Tab key reaches. */
function step(by) {
  const all = [...document.querySelectorAll(FIELDS)].filter((one) => !one.disabled && one.tabIndex >= 0 && one.getClientRects().length);
  const to = all[all.indexOf(document.activeElement) + by];
  if (!to) return;
  to.focus();
  if (to.select) to.select();
}
