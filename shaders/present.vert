// One triangle that covers the viewport.
in vec2 corner;

out vec2 at;

void main() {
    at = corner * 0.5 + 0.5;
    gl_Position = vec4(corner, 0.0, 1.0);
}
