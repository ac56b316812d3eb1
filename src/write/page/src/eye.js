// Where the roof is looked at from: round its middle, never from below the ground.
import { PerspectiveCamera, Vector3 } from "three";

const LOWEST = 0.02;
const HIGHEST = Math.PI / 2 - 0.001;
const NEAREST = 0.25;
const FARTHEST = 3;
/** Part of the screen that may be filled. */
const MARGIN = 0.94;

/** An eye that circles a box. */
export class Eye {
  constructor(box) {
    this.camera = new PerspectiveCamera(28, 1, 0.1, 1000);
    this.camera.up.set(0, 0, 1);
    this.middle = box.getCenter(new Vector3());
    this.half = box.getSize(new Vector3()).divideScalar(2);
    this.reach = this.half.length();
    this.away = this.fitting();
    this.start();
  }

  /** So far away all of the box is seen from every side, a little from above. */
  fitting() {
    const upright = Math.tan((this.camera.fov * Math.PI) / 360) * MARGIN;
    const across = upright * this.camera.aspect;
    const rise = 0.5;
    let away = 0;
    for (let step = 0; step < 24; step += 1) {
      const round = (step * Math.PI) / 12;
      const back = new Vector3(Math.cos(round) * Math.cos(rise), Math.sin(round) * Math.cos(rise), Math.sin(rise));
      const right = new Vector3(-Math.sin(round), Math.cos(round), 0);
      const up = back.clone().cross(right);
      for (let corner = 0; corner < 8; corner += 1) {
        const sign = (bit) => (corner & bit ? 1 : -1);
        const at = new Vector3(sign(1) * this.half.x, sign(2) * this.half.y, sign(4) * this.half.z);
        away = Math.max(away, at.dot(back) + Math.max(Math.abs(at.dot(right)) / across, Math.abs(at.dot(up)) / upright));
      }
    }
    return away;
  }

  /** Turns to where a face that looks so is seen, unless it is seen already. */
  see(normal, place) {
    if (this.camera.position.clone().sub(place).dot(normal) > 0.2 * this.away) {
      return;
    }
    if (Math.hypot(normal.x, normal.y) > 0.01) {
      this.round = Math.atan2(normal.y, normal.x) + 0.35;
    }
    this.rise = Math.max(this.rise, 0.5);
    this.place();
  }

  /** Back to where it began: before the first side, a little to the right and above. */
  start() {
    this.round = -Math.PI / 2 + 0.55;
    this.rise = 0.5;
    this.near = 1;
    this.place();
  }

  /** Looks down from straight above, the drawing's y axis upwards. */
  above() {
    this.round = -Math.PI / 2;
    this.rise = HIGHEST;
    this.place();
  }

  /** By pixels of a finger. */
  turn(dx, dy) {
    this.by(-dx * 0.009, dy * 0.007);
  }

  /** By radians, round and up. */
  by(round, rise) {
    this.round += round;
    this.rise = Math.min(Math.max(this.rise + rise, LOWEST), HIGHEST);
    this.place();
  }

  nearer(ratio) {
    this.near = Math.min(Math.max(this.near / ratio, NEAREST), FARTHEST);
    this.place();
  }

  /** The shape of the screen: all of the box is seen, whichever is the narrower way. */
  shape(wide, high) {
    this.camera.aspect = wide / high;
    this.away = this.fitting();
    this.place();
  }

  place() {
    const { camera } = this;
    const away = this.away * this.near;
    const level = Math.cos(this.rise) * away;
    camera.position.set(
      this.middle.x + level * Math.cos(this.round),
      this.middle.y + level * Math.sin(this.round),
      this.middle.z + Math.sin(this.rise) * away,
    );
    camera.near = Math.max(away - this.reach * 1.6, away * 0.02);
    camera.far = away + this.reach * 1.6;
    camera.lookAt(this.middle);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }
}
