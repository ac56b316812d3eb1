// The finished picture, as it is.
uniform sampler2D finished;

in vec2 at;

layout(location = 0) out vec4 picture;

void main() {
    picture = vec4(texture(finished, at).rgb, 1.0);
}
