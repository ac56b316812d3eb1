// A corner of a face: its place, the face's normal, its place in the face's own frame (along the eave, up the slope)
// and what the fragment shader needs to know of the face.
uniform mat4 view_projection;

in vec3 position;
in vec3 normal;
in vec2 frame;
in vec4 tint;
in vec4 facts;

out vec3 place;
out vec3 facing;
out vec2 uv;
out vec4 colour;
flat out vec4 fact;

void main() {
    place = position;
    facing = normal;
    uv = frame;
    colour = tint;
    fact = facts;
    gl_Position = view_projection * vec4(position, 1.0);
}
