// A line between two places as a quad of a width in pixels. `corner` is (0 or 1 along, -1 or 1 across); `style` is width,
// dash, gap and dot, in pixels.
uniform mat4 view_projection;
uniform vec2 viewport;      // pixels
uniform vec3 eye;
uniform float lift;         // metres towards the eye, so that a line lies on its face and not in it
uniform float scale;        // pixels of the target per pixel of `style`

in vec2 corner;
in vec3 from_place;
in vec3 to_place;
in vec4 style;
in vec4 ink;

out vec2 at;                // pixels along from the start, across from the middle
out vec3 place;
flat out float span;
flat out vec4 pattern;
flat out vec4 colour;

void main() {
    vec3 start = from_place + normalize(eye - from_place) * lift;
    vec3 end = to_place + normalize(eye - to_place) * lift;
    vec4 a = view_projection * vec4(start, 1.0);
    vec4 b = view_projection * vec4(end, 1.0);
    // What lies behind the eye is cut off, else it would come out mirrored.
    float least = 1e-3;
    if (a.w < least && b.w < least) {
        gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
        return;
    }
    if (a.w < least) { a = mix(a, b, (least - a.w) / (b.w - a.w)); }
    if (b.w < least) { b = mix(b, a, (least - b.w) / (a.w - b.w)); }
    vec2 from_pixel = a.xy / a.w * 0.5 * viewport;
    vec2 to_pixel = b.xy / b.w * 0.5 * viewport;
    vec2 along = to_pixel - from_pixel;
    span = length(along);
    along = span > 0.0 ? along / span : vec2(1.0, 0.0);
    pattern = style * scale;
    float reach = 0.5 * pattern.x + 1.0;
    at = vec2(corner.x * span + (2.0 * corner.x - 1.0) * reach, corner.y * reach);
    vec2 pixel = from_pixel + along * at.x + vec2(-along.y, along.x) * at.y;
    float share = span > 0.0 ? clamp(at.x / span, 0.0, 1.0) : 0.0;
    float depth = mix(a.z / a.w, b.z / b.w, share);
    place = mix(from_place, to_place, corner.x);
    colour = ink;
    gl_Position = vec4(pixel / (0.5 * viewport), depth, 1.0);
}
