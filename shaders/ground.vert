// The ground: a square about the roof, level at the datum.
uniform mat4 view_projection;
uniform vec3 centre;
uniform float reach;        // half its side, metres

in vec2 corner;             // -1 .. 1

out vec2 place;             // metres from the scene's origin

void main() {
    place = centre.xy + corner * reach;
    gl_Position = view_projection * vec4(place, centre.z, 1.0);
}
