// One shader for all shades of a face. `fact` is (face number, gauge, distance of slots, where its courses stand in the
// texture); the gauge is 0 where no covering lies. Everything is in metres; lines are as wide as a pixel at least, so that nothing shimmers.
uniform int shade;          // 0 plain, 1 covering, 2 pitch, 3 height, 4 water, 5 certainty
uniform vec3 sun;           // unit vector towards the light
uniform vec3 ink;           // joints and lines of height
uniform vec3 water_ink;
uniform vec3 accent;
uniform float hovered;      // face numbers, -1 for none
uniform float chosen;
uniform float base_height;  // height above datum of the scene's origin
uniform float contour;      // spacing of height lines
uniform sampler2D courses;  // per face: (count, width of a piece), then per course (butt, a joint), metres in its frame
uniform float seconds;      // of running water
uniform sampler2D variances; // per face, two texels: (a, b, c, d), (e, f, known, 0) of v = a + b x + c y + d x2 + e x y + f y2
uniform vec3 steps[5];      // colours from sure to unsure
uniform float unsurest;     // metres that the last of them stands for
uniform int is_sheet;       // 1: faces are sheets, lit on both sides; 0: the outside of a body
uniform vec4 section;       // plane: what lies beyond it is cut away; all zero for none

in vec3 place;
in vec3 facing;
in vec2 uv;
in vec4 colour;
flat in vec4 fact;

layout(location = 0) out vec4 picture;

// How much of a line of the given half width covers this pixel, at a distance from its middle. As lines get narrower than
// a pixel they fade instead of breaking up.
float line(float distance, float half_width, float pixel) {
    float wide = max(half_width, 0.5 * pixel);
    float cover = clamp((wide - abs(distance)) / pixel + 0.5, 0.0, 1.0);
    return cover * min(1.0, half_width / (0.5 * pixel));
}

// Distance to the nearest multiple of `every`.
float nearest(float value, float every) {
    return abs(value - every * floor(value / every + 0.5));
}

float random(vec2 seed) {
    return fract(sin(dot(seed, vec2(12.9898, 78.233))) * 43758.5453);
}

vec2 course_fact(int index) {
    return texelFetch(courses, ivec2(index % 1024, index / 1024), 0).rg;
}

// Courses, joints and slots where the layout has them: each course's own butt line, its end joints a piece apart, its
// slots a tab apart.
vec3 covering(vec3 base, vec2 at, vec2 pixel) {
    float gauge = fact.y;
    float tab = fact.z;
    int first = int(fact.w + 0.5);
    vec2 head = course_fact(first);
    float lowest = course_fact(first + 1).x;
    float course = clamp(floor((at.y - lowest) / gauge), 0.0, head.x - 1.0);
    vec2 here = course_fact(first + 1 + int(course));
    float within = at.y - here.x;
    float along = at.x - here.y;
    float piece = floor(along / tab);
    // Far away, courses melt into an even tone.
    float near = clamp(gauge / (3.0 * pixel.y) - 0.35, 0.0, 1.0);
    float close = clamp(tab / (8.0 * pixel.x) - 0.3, 0.0, 1.0);
    vec3 tone = base * (1.0 + near * 0.085 * (random(vec2(piece, course)) - 0.5));
    tone *= 1.0 - near * 0.16 * smoothstep(0.72, 1.0, within / gauge);
    float above = course < head.x - 1.0 ? gauge - within : 1e3;
    float butt = line(min(abs(within), abs(above)), 0.005, pixel.y);
    float slot = line(nearest(along, tab), 0.0035, pixel.x);
    float joint = line(nearest(along, head.y), 0.0065, pixel.x);
    return mix(tone, ink, max(0.62 * near * butt, near * close * max(0.42 * slot, 0.66 * joint)));
}

// The standard deviation of the face's plane, as a colour; a thin line every 5 mm, a heavy one every 10.
vec3 certainty(vec3 base, vec2 at) {
    int first = 2 * int(fact.x + 0.5);
    vec4 low = texelFetch(variances, ivec2(first % 1024, first / 1024), 0);
    vec4 high = texelFetch(variances, ivec2((first + 1) % 1024, (first + 1) / 1024), 0);
    if (high.z < 0.5) {
        return base;
    }
    float variance = low.x + low.y * at.x + low.z * at.y + low.w * at.x * at.x + high.x * at.x * at.y + high.y * at.y * at.y;
    float sd = sqrt(max(variance, 0.0));
    float place = clamp(sd / unsurest, 0.0, 1.0) * 4.0;
    int step = int(min(floor(place), 3.0));
    vec3 tone = mix(steps[step], steps[step + 1], place - float(step));
    // As wide as a pen however gently the deviation grows; none about the place where it is least and nothing.
    float pixel = max(length(vec2(dFdx(sd), dFdy(sd))), 1e-7);
    float thin = line(nearest(sd, 0.005) / pixel, 0.5, 1.0);
    float bold = line(nearest(sd, 0.010) / pixel, 0.9, 1.0);
    float some = smoothstep(0.0020, 0.0030, sd);
    return mix(tone, ink, some * max(0.45 * thin, 0.70 * bold));
}

// Runs of water down the slope: short strokes that grow towards the eave, each on its own line of flow.
vec3 water(vec3 base, vec2 at, vec2 pixel) {
    float every = 0.16;
    float lane = floor(at.x / every);
    float middle = (lane + 0.5 + 0.5 * (random(vec2(lane, 3.0)) - 0.5)) * every;
    float stroke = 0.55;
    float run = at.y / stroke + seconds * 0.9 + 7.0 * random(vec2(lane, 1.0));
    float head = fract(run);
    float body = smoothstep(0.0, 0.06, head) * (1.0 - smoothstep(0.1, 0.8, head));
    float width = 0.004 + 0.010 * (1.0 - head);
    return mix(base, water_ink, 0.85 * body * line(at.x - middle, width, pixel.x));
}

void main() {
    if (dot(section.xyz, place) > section.w) {
        discard;
    }
    bool back = !gl_FrontFacing;
    vec3 normal = normalize(facing);
    if (is_sheet == 1 && back) {
        normal = -normal;
    }
    float towards = dot(normal, sun);
    // A wide, soft light: shaded faces keep their colour.
    float half_towards = 0.5 + 0.5 * towards;
    float light = 0.68 + 0.36 * half_towards * half_towards + 0.05 * normal.z;
    vec3 base = colour.rgb;
    vec2 pixel = max(vec2(length(vec2(dFdx(uv.x), dFdy(uv.x))), length(vec2(dFdx(uv.y), dFdy(uv.y)))), vec2(1e-6));
    if (is_sheet == 1 && back) {
        // The back of a sheet is plain: courses and lines are on the face that lies outside.
        base = mix(base, vec3(1.0), 0.22);
    } else if (colour.a > 0.5) {
        if (shade == 1 && fact.y > 0.0) {
            base = covering(base, uv, pixel);
        } else if (shade == 3) {
            float height = place.z + base_height;
            float step_of_pixel = max(length(vec2(dFdx(height), dFdy(height))), 1e-6);
            float thin = line(nearest(height, contour), 0.004, step_of_pixel);
            float bold = line(nearest(height, 4.0 * contour), 0.010, step_of_pixel);
            base = mix(base, ink, max(0.55 * thin, 0.85 * bold));
        } else if (shade == 4) {
            base = water(base, uv, pixel);
        } else if (shade == 5) {
            base = certainty(base, uv);
        }
    } else if (is_sheet == 0) {
        // Walls darken a little towards the ground.
        light *= 0.90 + 0.10 * smoothstep(0.0, 1.2, place.z + base_height);
    }
    if (fact.x >= 0.0 && fact.x == chosen) {
        // Chosen: hatched, so that it is told without colour too.
        float diagonal = gl_FragCoord.x + gl_FragCoord.y;
        float hatch = smoothstep(0.55, 0.75, abs(fract(diagonal / 9.0) * 2.0 - 1.0));
        base = mix(base, accent, 0.22 + 0.34 * hatch);
    } else if (fact.x >= 0.0 && fact.x == hovered) {
        base = mix(base, accent, 0.20);
    }
    base *= light;
    if (back && is_sheet == 0) {
        // Where a section opens the body, its inside lies in the shade.
        base = mix(base * 0.80, ink, 0.06);
    }
    picture = vec4(base, 1.0);
}
