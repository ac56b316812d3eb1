// Filled, or hatched at 45 degrees as cut material is drawn.
uniform vec4 tone;
uniform vec3 ink;
uniform float hatched;      // 1 or 0
uniform float scale;        // pixels of the target per point of the screen

layout(location = 0) out vec4 picture;

void main() {
    float every = 7.0 * scale;
    float across = (gl_FragCoord.x - gl_FragCoord.y) * 0.70710678;
    float away = abs(across - every * floor(across / every + 0.5));
    float stroke = hatched * clamp(0.55 * scale - away + 0.5, 0.0, 1.0);
    picture = mix(tone, vec4(ink, 1.0), 0.55 * stroke);
}
