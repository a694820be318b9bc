// Looking at a drawing: which part of the picture is seen and how large, straightened or as it
// came, and the glass that shows what lies under the thumb.
import { through, times, undone } from "./_flat.js";
import { node } from "./_marks.js";

export class Look {
  // `drawOver` draws what lies over the picture, each time that it is seen otherwise.
  constructor(view, glass, board, drawOver) {
    Object.assign(this, { view, glass, board, drawOver });
    this.picture = view.querySelector("image");
    this.isStraight = Boolean(board.straight);
    [this.x, this.y, this.k] = [0, 0, 1]; // middle of the view, and units of the picture to a css pixel
  }

  // Places: of the picture as it came, which is what picks are kept in, and where they are seen.
  get plane() {
    return this.isStraight ? times(undone(this.board.straight.to_mm), this.board.straight.mm) : null;
  }

  shown(point) {
    const m = this.plane;
    return m ? through(m, point) : point;
  }

  came(point) {
    const m = this.plane;
    const [x, y] = m ? through(undone(m), point) : point;
    return [Math.min(Math.max(x, 0), this.board.width), Math.min(Math.max(y, 0), this.board.height)];
  }

  get extent() {
    return this.isStraight ? this.board.straight : this.board;
  }

  // A place on the screen to where it is in what is seen, and back.
  at(clientX, clientY) {
    const box = this.view.getBoundingClientRect();
    return [
      this.x + (clientX - box.left - box.width / 2) * this.k,
      this.y + (clientY - box.top - box.height / 2) * this.k,
    ];
  }

  onScreen([x, y]) {
    const box = this.view.getBoundingClientRect();
    return [
      box.left + box.width / 2 + (x - this.x) / this.k,
      box.top + box.height / 2 + (y - this.y) / this.k,
    ];
  }

  show() {
    const { width, height } = this.extent;
    const href = this.isStraight ? this.board.straight.picture : this.board.picture;
    if (this.picture.getAttribute("href") !== href) this.picture.setAttribute("href", href);
    this.picture.setAttribute("width", width);
    this.picture.setAttribute("height", height);
    const other = document.querySelector("[data-eye=other]");
    other.hidden = !this.board.straight;
    other.textContent = this.isStraight ? "As it came" : "Straightened";
  }

  // The drawing was changed, here or on another screen.
  renew(board) {
    const had = this.board.straight?.picture;
    const middle = this.came([this.x, this.y]);
    const before = this.extent.width;
    this.board = board;
    if (Boolean(board.straight) !== Boolean(had)) this.isStraight = Boolean(board.straight);
    this.show();
    if (Boolean(board.straight) !== Boolean(had)) return this.whole();
    if (this.isStraight && had !== board.straight.picture) {
      // the frame moved a little: keep looking at the same place
      [this.x, this.y] = this.shown(middle);
      this.k *= this.extent.width / before;
    }
    this.draw();
  }

  whole() {
    const { width, height } = this.extent;
    this.x = width / 2;
    this.y = height / 2;
    this.k = Math.max(width / this.view.clientWidth, height / this.view.clientHeight) * 1.02;
    this.draw();
  }

  turnOver() {
    this.isStraight = !this.isStraight;
    this.show();
    this.whole();
  }

  zoom(by, [x, y] = [this.x, this.y]) {
    const k = Math.min(Math.max(this.k * by, 0.05), (4 * this.extent.width) / this.view.clientWidth);
    this.x = x + ((this.x - x) * k) / this.k;
    this.y = y + ((this.y - y) * k) / this.k;
    this.k = k;
    this.draw();
  }

  draw() {
    const [w, h] = [this.view.clientWidth * this.k, this.view.clientHeight * this.k];
    this.view.setAttribute("viewBox", `${this.x - w / 2} ${this.y - h / 2} ${w} ${h}`);
    this.drawOver();
  }

  // What lies round a point, three times as large, on the side where the hand is not.
  peer(point, event) {
    const { glass } = this;
    const box = this.view.getBoundingClientRect();
    const k = Math.max(this.k / 3, 0.12), size = 150 * k;
    const [x, y] = this.shown(point);
    glass.setAttribute("viewBox", `${x - size / 2} ${y - size / 2} ${size} ${size}`);
    const { width, height } = this.extent;
    const cross = `M${x - size} ${y}H${x - 8 * k}M${x + 8 * k} ${y}H${x + size}M${x} ${y - size}V${y - 8 * k}M${x} ${y + 8 * k}V${y + size}`;
    const image = glass.querySelector("image") ?? glass.appendChild(node("image", {}));
    const href = this.picture.getAttribute("href");
    for (const [key, value] of Object.entries({ href, width, height })) image.setAttribute(key, value);
    glass.querySelectorAll("path").forEach((old) => old.remove());
    glass.append(node("path", { d: cross, class: "rim" }), node("path", { d: cross, class: "cross" }));
    const isLeft = event ? event.clientX - box.left < box.width / 2 : false;
    glass.setAttribute("class", isLeft ? "at-right" : "at-left");
    glass.removeAttribute("hidden");
  }

  noGlass() {
    this.glass.setAttribute("hidden", "");
  }
}
