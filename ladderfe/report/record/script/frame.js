// The frame on its stage: pointer, fingers, keys, and the figure of the wall that is pointed at.

class Stage {
  constructor(canvas, data) {
    this.canvas = canvas;
    this.states = data.states.map((s) => unpackState(s, data.step));
    this.look = new Look();
    this.walls = WallsByGl.on(canvas, data) || new WallsByPaint(canvas, data);
    canvas.dataset.drawn = this.walls.kind;
    this.names = [...canvas.parentNode.querySelectorAll(".names span")];
    this.place = document.getElementById("frame-place");
    this.hint = this.place.textContent;
    this.fingers = new Map();
    this.listen();
    this.choose(0, 0);
  }

  choose(state, number) {
    if (this.state !== this.states[state]) {
      this.state = this.states[state];
      this.walls.setState(this.state);
    }
    this.use = this.state.of(number);
    this.walls.setUse(this.use);
    this.canvas.dataset.shows = `${state} ${number}`;
    this.place.textContent = this.hint;
    this.later();
  }

  later() {
    if (this.waits) return;
    this.waits = true;
    requestAnimationFrame(() => { this.waits = false; this.draw(); });
  }

  draw() {
    const { canvas } = this;
    const dots = Math.min(window.devicePixelRatio || 1, 2);
    const [w, h] = [canvas.clientWidth, canvas.clientHeight];
    if (!w || !h) return;
    if (canvas.width !== Math.round(w * dots) || canvas.height !== Math.round(h * dots)) {
      canvas.width = Math.round(w * dots);
      canvas.height = Math.round(h * dots);
    }
    const ink = getComputedStyle(document.documentElement).getPropertyValue("--edge").trim();
    this.walls.draw(this.look, this.state, ink, dots);
    this.write(w, h);
  }

  /** Names of the frame's ends and sides beside it, where they are not in each other's way. */
  write(w, h) {
    const [x, y, z] = this.state.half;
    const at = [[-x, 0, -z], [x, 0, -z], [0, -y, -z], [0, y, -z]].map((p) => p.map((v) => 1.12 * v)).flat();
    const seen = this.look.project(Float32Array.from(at), this.state.half, w, h);
    const walls = this.look.project(this.state.places, this.state.half, w, h);
    const taken = [];
    ["front", "rear", "left", "right"].forEach((words, k) => {
      const span = this.names[k];
      span.textContent = words;
      const wide = span.offsetWidth;
      const left = Math.max(4, Math.min(w - wide - 4, seen[3 * k] - wide / 2));
      const top = Math.max(2, Math.min(h - 20, seen[3 * k + 1] - 9));
      const clear = [0, 0.5, 1].every((share) => !wallAt(walls, this.state.corners, left + share * wide, top + 9));
      const free = clear && taken.every(([l, t, r]) => left > r + 4 || left + wide < l - 4 || Math.abs(top - t) > 17);
      if (free) taken.push([left, top, left + wide]);
      span.style.transform = `translate(${left}px, ${top}px)`;
      span.style.visibility = free ? "visible" : "hidden";
    });
  }

  /** Say what the wall under a point of the stage is and bears. */
  point(event) {
    const box = this.canvas.getBoundingClientRect();
    const s = this.state;
    const seen = this.look.project(s.places, s.half, box.width, box.height);
    const hit = wallAt(seen, s.corners, event.clientX - box.left, event.clientY - box.top);
    if (!hit) return;
    const mix = (values) => hit.at.reduce((sum, corner, k) => sum + hit.weights[k] * values[corner], 0);
    const [part, along, use] = [s.part[hit.wall], Math.round(mix(s.along)), Math.round(mix(this.use))];
    const where = s.across[part] ? `y ${along < 0 ? "−" : "+"}${Math.abs(along)} mm` : `${along} mm`;
    const told = use >= 254 ? "more than 254 %" : `${use} %`;
    this.place.textContent = `${s.parts[part]}, ${s.walls[hit.wall]}, ${where}: ${told}${use > 100 ? " OVER" : ""}`;
  }

  listen() {
    const { canvas, look, fingers } = this;
    const spread = () => {
      const [a, b] = [...fingers.values()];
      return Math.hypot(a[0] - b[0], a[1] - b[1]);
    };
    canvas.addEventListener("pointerdown", (e) => {
      canvas.setPointerCapture(e.pointerId);
      fingers.set(e.pointerId, [e.clientX, e.clientY]);
      this.moved = 0;
    });
    canvas.addEventListener("pointermove", (e) => {
      const old = fingers.get(e.pointerId);
      if (!old) {
        if (e.pointerType === "mouse") this.point(e);
        return;
      }
      const before = fingers.size === 2 ? spread() : 0;
      const [dx, dy] = [e.clientX - old[0], e.clientY - old[1]];
      fingers.set(e.pointerId, [e.clientX, e.clientY]);
      this.moved += Math.abs(dx) + Math.abs(dy);
      if (fingers.size === 2) {
        if (before > 0) look.larger(spread() / before);
        look.shift = [look.shift[0] + dx / 2, look.shift[1] + dy / 2];
      } else if (e.shiftKey) look.shift = [look.shift[0] + dx, look.shift[1] + dy];
      else look.turn(dx * 0.009, dy * 0.009);
      this.later();
    });
    for (const end of ["pointerup", "pointercancel"]) {
      canvas.addEventListener(end, (e) => {
        fingers.delete(e.pointerId);
        if (end === "pointerup" && this.moved < 6) this.point(e);
      });
    }
    canvas.addEventListener("wheel", (e) => {
      if (document.activeElement !== canvas && !e.ctrlKey) return;
      e.preventDefault();
      look.larger(Math.exp(-e.deltaY * 0.0012));
      this.later();
    }, { passive: false });
    canvas.addEventListener("keydown", (e) => this.key(e));
    canvas.addEventListener("webglcontextlost", (e) => e.preventDefault());
    new ResizeObserver(() => this.later()).observe(canvas);
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.later());
  }

  key(e) {
    const turns = { ArrowLeft: [-0.12, 0], ArrowRight: [0.12, 0], ArrowUp: [0, -0.12], ArrowDown: [0, 0.12] };
    if (turns[e.key]) this.look.turn(...turns[e.key]);
    else if (e.key === "+" || e.key === "=") this.look.larger(1.15);
    else if (e.key === "-") this.look.larger(1 / 1.15);
    else if (e.key === "0" || e.key === "Home") this.look.to("corner");
    else return;
    e.preventDefault();
    this.later();
  }

  view(name) {
    if (name === "larger") this.look.larger(1.25);
    else if (name === "smaller") this.look.larger(0.8);
    else this.look.to(name);
    this.later();
  }
}
