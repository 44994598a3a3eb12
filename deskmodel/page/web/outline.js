// The picked part's edges, drawn over everything: what is picked in a list may lie deep inside the desk.
import { BufferAttribute, BufferGeometry, LineBasicMaterial, LineSegments, Matrix4 } from "three";

export function outline(view, desk) {
  const material = new LineBasicMaterial({ depthTest: false, transparent: true, opacity: 0.75 });
  let line = null, drawn = null;
  desk.addEventListener("change", () => {
    const key = desk.picked !== null && desk.now[desk.picked].shown ? desk.part(desk.picked).shape : null;
    if (key !== drawn && line) {
      view.scene.remove(line);
      line.geometry.dispose();
      line = null;
    }
    if (key !== null && !line) {
      const geometry = new BufferGeometry().setAttribute("position", new BufferAttribute(view.mesh.geometries.get(key).edge, 3));
      line = new LineSegments(geometry, material);
      line.frustumCulled = false;
      line.matrixAutoUpdate = false;
      line.renderOrder = 9;
      view.scene.add(line);
    }
    drawn = key;
    if (!line) return;
    line.matrix.copy(new Matrix4().set(...desk.now[desk.picked].pose, 0, 0, 0, 1));
    line.matrixWorldNeedsUpdate = true;
    material.color.copy(view.colours.picked);
  });
}
