// Reads the scene: binary glTF 2.0 (Khronos Group), as far as our server writes it.

const KINDS = { 5125: Uint32Array, 5126: Float32Array };
const WIDTHS = { SCALAR: 1, VEC3: 3 };

// Parts with their matrix, faces and lines. Edges come with no normals, outlines with two.
export function read(data) {
  const head = new DataView(data);
  const size = head.getUint32(12, true);
  const file = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 20, size)));
  const start = 20 + size + 8;
  const array = (index) => {
    const { bufferView, componentType, count, type } = file.accessors[index];
    const offset = start + (file.bufferViews[bufferView].byteOffset ?? 0);
    return new KINDS[componentType](data, offset, count * WIDTHS[type]);
  };
  const of = (mesh) => file.meshes[mesh].primitives[0];
  return (file.scenes[0].nodes ?? []).map((root) => {
    const node = file.nodes[root];
    const lines = { from: [], to: [], sideA: [], sideB: [] };
    for (const child of node.children ?? []) {
      const { attributes, indices } = of(file.nodes[child].mesh);
      const points = array(attributes.POSITION);
      const [a, b] = ["_NORMAL_A", "_NORMAL_B"].map((name) => name in attributes && array(attributes[name]));
      const index = array(indices);
      for (let i = 0; i < index.length; i += 2) {
        const [p, q] = [3 * index[i], 3 * index[i + 1]];
        for (let k = 0; k < 3; k++) {
          lines.from.push(points[p + k]);
          lines.to.push(points[q + k]);
          lines.sideA.push(a ? a[p + k] : 0);
          lines.sideB.push(b ? b[p + k] : 0);
        }
      }
    }
    const faces = { points: new Float32Array(), normals: new Float32Array(), rounds: new Float32Array() };
    if ("mesh" in node) {
      const { attributes } = of(node.mesh); // its corners are in order, three to a triangle
      faces.points = array(attributes.POSITION);
      faces.normals = array(attributes.NORMAL);
      faces.rounds = array(attributes._ROUND);
    }
    for (const name in lines) lines[name] = new Float32Array(lines[name]);
    return { name: node.name, matrix: node.matrix, faces, lines };
  });
}
