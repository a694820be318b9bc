// The build in three dimensions, drawn as the inked picture is: faces in paper or wash
// that hide what is behind them, edges in ink or pencil, and round walls outlined only
// where they turn away from the eye. Same scale and centre as the drawing that it lies over.

import {
  BufferAttribute, BufferGeometry, Color, DoubleSide, GLSL3, InstancedBufferAttribute,
  InstancedBufferGeometry, LinearSRGBColorSpace, Mesh, OrthographicCamera, RawShaderMaterial, Scene as Space,
  Vector2, Vector3, WebGLRenderer,
} from "three";
import { read } from "./_glb.js";

const MM = 0.001;
const LIGHT = new Vector3(-0.6, 0.7, 0.5).normalize(); // over the draughtsman's shoulder
const INK = 1.8, PENCIL = 1.15; // widths [px]
const PUSH = 0.0006; // faces stand back by this, so that the lines on them win [of the depth]

const FACES = {
  vertexShader: `
    in vec3 position; in vec3 normal; in float isRound;
    uniform mat4 projectionMatrix, modelViewMatrix; uniform float push;
    out vec3 facing; out float round_;
    void main() {
      facing = mat3(modelViewMatrix) * normal; round_ = isRound;
      gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
      gl_Position.z += push * gl_Position.w;
    }`,
  fragmentShader: `
    precision highp float;
    in vec3 facing; in float round_;
    uniform vec3 lit, shade, light; out vec4 colour;
    void main() {
      vec3 towards = facing * sign(facing.z);
      colour = vec4(round_ > 0.5 || dot(towards, light) > 0.0 ? lit : shade, 1.0);
    }`,
};
// A line is a strip of two triangles, as wide on the screen as its pen. An outline is thrown
// away unless one of its facets looks at the eye and the other does not.
const LINES = {
  vertexShader: `
    in vec2 corner; in vec3 from, to, sideA, sideB;
    uniform mat4 projectionMatrix, modelViewMatrix; uniform vec2 room; uniform float width;
    void main() {
      float a = (mat3(modelViewMatrix) * sideA).z, b = (mat3(modelViewMatrix) * sideB).z;
      vec4 p = projectionMatrix * modelViewMatrix * vec4(from, 1.0);
      vec4 q = projectionMatrix * modelViewMatrix * vec4(to, 1.0);
      vec2 along = (q.xy - p.xy) * room;
      float size = max(length(along), 1e-6);
      vec2 way = along / size, aside = vec2(-way.y, way.x);
      vec4 here = corner.x < 0.5 ? p : q;
      here.xy += width * (corner.y * aside + (corner.x - 0.5) * way) / room;
      bool isEdge = dot(sideA, sideA) < 0.5;
      gl_Position = isEdge || a * b <= 0.0 ? here : vec4(2.0, 2.0, 2.0, 1.0);
    }`,
  fragmentShader: `
    precision highp float;
    uniform vec3 ink; out vec4 colour;
    void main() { colour = vec4(ink, 1.0); }`,
};

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
    this.pens = {
      made: this.#pens("ink", INK), planned: this.#pens("graphite", PENCIL),
    };
    for (const part of read(data)) this.#add(part);
    this.#recolour();
    const dark = matchMedia("(prefers-color-scheme: dark)");
    this.recolour = () => { this.#recolour(); if (this.last) this.draw(...this.last); };
    dark.addEventListener("change", this.recolour);
    this.dark = dark;
    this.#settle(about);
  }

  close() {
    this.dark.removeEventListener("change", this.recolour);
    this.renderer.dispose();
    this.canvas.remove();
  }

  #pens(colour, width) {
    const shared = { glslVersion: GLSL3, side: DoubleSide };
    return {
      colour,
      faces: new RawShaderMaterial({
        ...shared, ...FACES,
        uniforms: { lit: { value: new Color() }, shade: { value: new Color() }, light: { value: LIGHT }, push: { value: PUSH } },
      }),
      lines: new RawShaderMaterial({
        ...shared, ...LINES,
        uniforms: { ink: { value: new Color() }, width: { value: width }, room: { value: this.room } },
      }),
    };
  }

  #add(part) {
    const pens = this.pens.planned; // until #settle says who is made
    const faces = new BufferGeometry();
    faces.setAttribute("position", new BufferAttribute(part.faces.points, 3));
    faces.setAttribute("normal", new BufferAttribute(part.faces.normals, 3));
    faces.setAttribute("isRound", new BufferAttribute(part.faces.rounds, 1));
    const meshes = [new Mesh(faces, pens.faces)];
    if (part.lines.from.length) {
      const lines = new InstancedBufferGeometry();
      lines.setAttribute("corner", new BufferAttribute(new Float32Array([0, -1, 1, -1, 1, 1, 0, 1]), 2));
      lines.setIndex([0, 1, 2, 0, 2, 3]);
      for (const name of ["from", "to", "sideA", "sideB"])
        lines.setAttribute(name, new InstancedBufferAttribute(part.lines[name], 3));
      lines.instanceCount = part.lines.from.length / 3;
      meshes.push(new Mesh(lines, pens.lines));
    }
    meshes.forEach((mesh, i) => {
      mesh.matrixAutoUpdate = false;
      mesh.matrix.fromArray(part.matrix);
      mesh.frustumCulled = false; // its corners are not where three.js looks for them
      mesh.renderOrder = i;
      mesh.userData = { part: part.name, kind: i ? "lines" : "faces" };
      this.space.add(mesh);
    });
  }

  // Who is in ink may change while the shapes stay.
  #settle(about) {
    if (about.made === this.made) return;
    this.made = about.made;
    const made = new Set(about.made.split(" "));
    for (const mesh of this.space.children)
      mesh.material = (made.has(mesh.userData.part) ? this.pens.made : this.pens.planned)[mesh.userData.kind];
  }

  #recolour() {
    const style = getComputedStyle(document.documentElement);
    const set = (uniform, name) => {
      const hex = style.getPropertyValue(`--${name}`).trim();
      uniform.value.setStyle(hex, LinearSRGBColorSpace);
    };
    const { made, planned } = this.pens;
    set(made.faces.uniforms.lit, "wash"); set(made.faces.uniforms.shade, "shade");
    set(planned.faces.uniforms.lit, "paper"); set(planned.faces.uniforms.shade, "paper");
    for (const pens of [made, planned]) set(pens.lines.uniforms.ink, pens.colour);
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
