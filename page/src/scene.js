// The build in three dimensions, drawn as the inked picture is: faces in paper or wash
// that hide what is behind them, edges in ink or pencil, and round walls outlined only
// where they turn away from the eye. Same scale and centre as the drawing that it lies over.

import {
  BufferAttribute, BufferGeometry, Color, DoubleSide, GLSL3, LinearSRGBColorSpace, Mesh, OrthographicCamera,
  RawShaderMaterial, Scene as Space, Vector2, Vector3, WebGLRenderer,
} from "three";
import { read } from "./_glb.js";
import { shapeOf } from "./_shape.js";

const MM = 0.001;
const LIGHT = new Vector3(-0.6, 0.7, 0.5).normalize(); // over the draughtsman's shoulder
const INK = 1.8, PENCIL = 1.15; // widths [px]
const PUSH = 0.0006; // faces stand back by this, so that the lines on them win [of the depth]

const FACES = {
  vertexShader: `
    in vec3 position; in vec3 normal; in float isRound, isMade;
    uniform mat4 projectionMatrix, modelViewMatrix; uniform float push;
    uniform vec3 paper, wash, shade, light;
    flat out vec3 tone;
    void main() {
      vec3 facing = mat3(modelViewMatrix) * normal;
      bool isLit = isRound > 0.5 || dot(facing * sign(facing.z), light) > 0.0;
      tone = isMade < 0.5 ? paper : isLit ? wash : shade;
      gl_Position = projectionMatrix * (modelViewMatrix * vec4(position, 1.0));
      gl_Position.z += push * gl_Position.w;
    }`,
  fragmentShader: `
    precision mediump float;
    flat in vec3 tone; out vec4 colour;
    void main() { colour = vec4(tone, 1.0); }`,
};
// A line is a strip of two triangles, as wide on the screen as its pen. An outline is thrown
// away unless one of its facets looks at the eye and the other does not.
const LINES = {
  vertexShader: `
    in vec2 corner; in vec3 from, to, sideA, sideB; in float isMade;
    uniform mat4 projectionMatrix, modelViewMatrix; uniform vec2 room, widths;
    uniform vec3 ink, graphite;
    flat out vec3 tone;
    void main() {
      float width = isMade > 0.5 ? widths.x : widths.y;
      tone = isMade > 0.5 ? ink : graphite;
      float a = (mat3(modelViewMatrix) * sideA).z, b = (mat3(modelViewMatrix) * sideB).z;
      mat4 seen = projectionMatrix * modelViewMatrix;
      vec4 p = seen * vec4(from, 1.0), q = seen * vec4(to, 1.0);
      vec2 along = (q.xy - p.xy) * room;
      float size = max(length(along), 1e-6);
      vec2 way = along / size, aside = vec2(-way.y, way.x);
      vec4 here = corner.x < 0.5 ? p : q;
      here.xy += width * (corner.y * aside + (corner.x - 0.5) * way) / room;
      bool isEdge = dot(sideA, sideA) < 0.5;
      gl_Position = isEdge || a * b <= 0.0 ? here : vec4(2.0, 2.0, 2.0, 1.0);
    }`,
  fragmentShader: `
    precision mediump float;
    flat in vec3 tone; out vec4 colour;
    void main() { colour = vec4(tone, 1.0); }`,
};

// A material whose uniforms are these values, and colours that the page has under these names.
function pen(shaders, values, colours) {
  const uniforms = Object.fromEntries(Object.entries(values).map(([name, value]) => [name, { value }]));
  for (const name of colours) uniforms[name] = { value: new Color() };
  return new RawShaderMaterial({ ...shaders, uniforms, glslVersion: GLSL3, side: DoubleSide });
}

// Each `size` numbers of a run `times` over.
function repeated(run, size, times) {
  const found = new run.constructor(run.length * times);
  for (let i = 0; i < run.length; i += size)
    for (let k = 0; k < times; k += 1) found.set(run.subarray(i, i + size), i * times + k * size);
  return found;
}

export class Scene {
  constructor(stage, data, about) {
    this.stage = stage;
    this.canvas = document.createElement("canvas");
    this.canvas.setAttribute("aria-hidden", "true");
    this.renderer = new WebGLRenderer({ canvas: this.canvas, antialias: true, alpha: true });
    this.renderer.outputColorSpace = LinearSRGBColorSpace; // the page's colours as they are
    stage.append(this.canvas);
    this.space = new Space();
    this.camera = new OrthographicCamera();
    this.room = new Vector2(1, 1);
    const { faces, lines, spans } = shapeOf(read(data));
    this.spans = spans; // by name of a part
    this.meshes = { faces: this.#faces(faces), lines: this.#lines(lines) };
    Object.values(this.meshes).forEach((mesh, i) => {
      mesh.frustumCulled = false; // its corners are not where three.js looks for them
      mesh.renderOrder = i;
      this.space.add(mesh);
    });
    this.#recolour();
    const dark = matchMedia("(prefers-color-scheme: dark)");
    this.recolour = () => { this.#recolour(); if (this.last) this.draw(...this.last); };
    dark.addEventListener("change", this.recolour);
    this.dark = dark;
    this.#settle(about);
  }

  close() {
    this.dark.removeEventListener("change", this.recolour);
    for (const mesh of Object.values(this.meshes)) {
      mesh.geometry.dispose();
      mesh.material.dispose();
    }
    this.renderer.dispose();
    this.canvas.remove();
  }

  #faces({ points, normals, rounds }) {
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(points, 3));
    geometry.setAttribute("normal", new BufferAttribute(normals, 3));
    geometry.setAttribute("isRound", new BufferAttribute(rounds, 1));
    geometry.setAttribute("isMade", new BufferAttribute(new Uint8Array(rounds.length), 1));
    return new Mesh(geometry, pen(FACES, { push: PUSH, light: LIGHT }, ["paper", "wash", "shade"]));
  }

  #lines(runs) {
    // four corners of its own for each strip: strips as instances of one are ten times as slow
    const geometry = new BufferGeometry(), count = runs.from.length / 3;
    for (const name in runs) geometry.setAttribute(name, new BufferAttribute(repeated(runs[name], 3, 4), 3));
    geometry.setAttribute("corner", new BufferAttribute(repeated(Int8Array.of(0, -1, 1, -1, 1, 1, 0, 1), 8, count), 2));
    geometry.setAttribute("isMade", new BufferAttribute(new Uint8Array(4 * count), 1));
    const index = Uint32Array.from({ length: 6 * count }, (_, i) => 4 * Math.floor(i / 6) + [0, 1, 2, 0, 2, 3][i % 6]);
    geometry.setIndex(new BufferAttribute(index, 1));
    return new Mesh(geometry, pen(LINES, { widths: new Vector2(INK, PENCIL), room: this.room }, ["ink", "graphite"]));
  }

  // Who is in ink may change while the shapes stay.
  #settle(about) {
    if (about.made === this.made) return;
    this.made = about.made;
    const made = new Set(about.made.split(" "));
    for (const kind in this.meshes) {
      const isMade = this.meshes[kind].geometry.getAttribute("isMade");
      for (const [name, span] of this.spans) isMade.array.fill(made.has(name) ? 1 : 0, ...span[kind]);
      isMade.needsUpdate = true;
    }
  }

  #recolour() {
    const style = getComputedStyle(document.documentElement);
    for (const { material } of Object.values(this.meshes))
      for (const [name, { value }] of Object.entries(material.uniforms))
        if (value instanceof Color) value.setStyle(style.getPropertyValue(`--${name}`).trim(), LinearSRGBColorSpace);
  }

  // Draw for an eye [turn, tilt] in degrees, as large as the drawing that `about` tells of.
  draw(eye, about) {
    this.last = [eye, about];
    this.#settle(about);
    const { clientWidth: wide, clientHeight: tall } = this.canvas;
    const ratio = Math.min(devicePixelRatio || 1, 2);
    if (this.size !== `${wide} ${tall} ${ratio}`) {
      this.size = `${wide} ${tall} ${ratio}`;
      this.renderer.setPixelRatio(ratio);
      this.renderer.setSize(wide, tall, false);
      this.room.set(wide / 2, tall / 2);
    }
    const half = [about.width, about.height].map((side) => side / 2 / about.scale * MM);
    const reach = 4 * Math.max(...half);
    Object.assign(this.camera, { left: -half[0], right: half[0], bottom: -half[1], top: half[1], near: 0, far: 2 * reach });
    this.camera.updateProjectionMatrix();
    // the file has y up, as its standard asks: x, z, -y of the build
    const [x, y, z] = about.centre.split(",").map((c) => c * MM);
    const [turn, tilt] = eye.map((angle) => angle * Math.PI / 180);
    const centre = new Vector3(x, z, -y);
    const towards = new Vector3(Math.cos(tilt) * Math.sin(turn), Math.sin(tilt), Math.cos(tilt) * Math.cos(turn));
    this.camera.position.copy(centre).addScaledVector(towards, reach);
    this.camera.up.set(0, 1, 0);
    this.camera.lookAt(centre);
    this.renderer.render(this.space, this.camera);
  }
}
