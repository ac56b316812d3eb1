// A grid of metres and the soft shadow of the roof, both fading outwards into the paper.
uniform vec3 centre;
uniform float reach;
uniform vec3 ink;
uniform float grid;         // strength of the grid, 0 .. 1
uniform float depth_of_shadow;         // strength of the shadow, 0 .. 1
uniform vec4 shadow_box;    // low x, low y, width, height of the shadow's picture
uniform sampler2D shadow;

in vec2 place;

layout(location = 0) out vec4 picture;

float line(float value, float every, float half_width) {
    float pixel = max(length(vec2(dFdx(value), dFdy(value))), 1e-6);
    float distance = abs(value - every * floor(value / every + 0.5));
    float wide = max(half_width, 0.5 * pixel);
    float cover = clamp((wide - distance) / pixel + 0.5, 0.0, 1.0) * min(1.0, half_width / (0.5 * pixel));
    // Lines nearer than a few pixels melt away.
    return cover * clamp(every / (4.0 * pixel) - 0.5, 0.0, 1.0);
}

void main() {
    float away = length(place - centre.xy) / reach;
    float fade = 1.0 - smoothstep(0.25, 0.95, away);
    float metre = max(line(place.x, 1.0, 0.006), line(place.y, 1.0, 0.006));
    float five = max(line(place.x, 5.0, 0.011), line(place.y, 5.0, 0.011));
    float alpha = grid * fade * max(0.5 * metre, 0.9 * five);
    vec2 at = (place - shadow_box.xy) / shadow_box.zw;
    float dark = 0.0;
    if (at.x > 0.0 && at.x < 1.0 && at.y > 0.0 && at.y < 1.0) {
        dark = depth_of_shadow * texture(shadow, at).r;
    }
    // The grid lies in the shadow: both over the paper, the shadow always dark.
    float both = alpha + dark - alpha * dark;
    picture = vec4(ink * alpha / max(both, 1e-4), both);
}
