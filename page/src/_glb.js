// Reads the scene: binary glTF 2.0 (Khronos Group), as far as our server writes it.

const KINDS = { 5125: Uint32Array, 5126: Float32Array };
const WIDTHS = { SCALAR: 1, VEC3: 3 };

// Parts with their name, their matrix, and their faces and edges: points, index, and for
// faces `rounds`. Who has none of them has null. Copies share theirs.
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
  const meshes = (file.meshes ?? []).map(({ primitives: [{ attributes, indices }] }) => ({
    points: array(attributes.POSITION),
    index: array(indices),
    rounds: "_ROUND" in attributes ? array(attributes._ROUND) : null,
  }));
  return (file.scenes[0].nodes ?? []).map((root) => {
    const { name, matrix, mesh, children = [] } = file.nodes[root];
    const edges = children.map((child) => meshes[file.nodes[child].mesh]);
    return { name, matrix, faces: meshes[mesh] ?? null, edges: edges[0] ?? null };
  });
}
