// A line with round ends and, where its style has a gap, dashes and dots; edges one pixel soft.
uniform vec4 section;

in vec2 at;
in vec3 place;
flat in float span;
flat in vec4 pattern;       // width, dash, gap, dot
flat in vec4 colour;

layout(location = 0) out vec4 picture;

void main() {
    if (dot(section.xyz, place) > section.w + 1e-4) {
        discard;
    }
    float half_width = 0.5 * pattern.x;
    // The stroke drawn here: from `begin` to `finish` along the line.
    float begin = 0.0;
    float finish = span;
    if (pattern.z > 0.0) {
        float period = pattern.y + pattern.z + (pattern.w > 0.0 ? pattern.w + pattern.z : 0.0);
        // A whole number of periods and one more dash, so that both ends of the line are drawn.
        float count = max(1.0, floor((span - pattern.y) / period + 0.5));
        float stretch = (span - pattern.y) / (count * period);
        stretch = stretch > 0.2 ? stretch : 1.0;
        float cycle = floor(at.x / (period * stretch));
        float local = at.x / stretch - cycle * period;
        float first = 0.0;
        float length_of = pattern.y;
        if (pattern.w > 0.0 && local > pattern.y + 0.5 * pattern.z && local < period - 0.5 * pattern.z) {
            first = pattern.y + pattern.z;
            length_of = pattern.w;
        } else if (local > (pattern.w > 0.0 ? period - 0.5 * pattern.z : pattern.y + 0.5 * pattern.z)) {
            first = period;
        }
        begin = max(0.0, (cycle * period + first) * stretch);
        finish = min(span, (cycle * period + first + length_of) * stretch);
    }
    // Round ends, drawn inside the dash so that gaps stay open.
    float inset = pattern.z > 0.0 ? min(half_width, 0.5 * (finish - begin)) : 0.0;
    float beyond = max(max(begin + inset - at.x, at.x - (finish - inset)), 0.0);
    float distance = length(vec2(beyond, at.y));
    float cover = clamp(half_width - distance + 0.5, 0.0, 1.0);
    if (cover <= 0.003) {
        discard;
    }
    picture = vec4(colour.rgb, colour.a * cover);
}
