// An area over the roof: what a plane has cut.
uniform mat4 view_projection;

in vec3 position;

void main() {
    gl_Position = view_projection * vec4(position, 1.0);
}
