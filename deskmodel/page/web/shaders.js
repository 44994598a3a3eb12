// What the graphics processor does. Each part's place, colour and state lie in five texels of one texture, so that hiding or
// moving a part touches no geometry, and equal parts are drawn at one stroke.
//
//   texels 0 to 2  rows of the pose, the origin at the end of each; mm, desk frame
//   texel 3        colour (red, green, blue, 0 to 1 as a screen takes them), how much a gloss shows
//   texel 4        how it is shown (0 not, 1 solid, 2 see-through), share of the mark's colour, which mark, opacity

export const ACROSS = 64; // parts in a row of the texture
export const TEXELS = 5;

const PLACE = `
  precision highp float;
  precision highp sampler2D;
  uniform sampler2D state;
  uniform mat4 viewMatrix;
  uniform mat4 projectionMatrix;
  uniform float turn; // 1: solid parts are drawn, 2: see-through ones
  in vec3 position;
  in float part;
  out vec3 place;
  flat out vec4 look;
  flat out vec4 shown;
  flat out float number;
  mat3 rotation;
  bool placed() {
    int i = int(part + 0.5);
    ivec2 at = ivec2((i % ${ACROSS}) * ${TEXELS}, i / ${ACROSS});
    vec4 x = texelFetch(state, at, 0);
    vec4 y = texelFetch(state, at + ivec2(1, 0), 0);
    vec4 z = texelFetch(state, at + ivec2(2, 0), 0);
    look = texelFetch(state, at + ivec2(3, 0), 0);
    shown = texelFetch(state, at + ivec2(4, 0), 0);
    number = part;
    rotation = transpose(mat3(x.xyz, y.xyz, z.xyz));
    place = rotation * position + vec3(x.w, y.w, z.w);
    gl_Position = projectionMatrix * viewMatrix * vec4(place, 1.0);
    if (abs(shown.x - turn) < 0.5) return true;
    gl_Position = vec4(0.0, 0.0, -2.0, 1.0); // all corners of it outside: nothing is drawn
    return false;
  }`;

export const FACE_VERTEX = `${PLACE}
  in vec3 normal;
  out vec3 facing;
  void main() {
    facing = placed() ? mat3(viewMatrix) * (rotation * normal) : vec3(0.0, 0.0, 1.0);
  }`;

export const LINE_VERTEX = `${PLACE}
  void main() { placed(); }`;

const CUTTING = `
  precision highp float;
  uniform vec4 section; // normal, and how far along it: what lies beyond is taken away
  uniform vec3 eye;
  uniform mat4 viewProjection;
  uniform vec3 marks[4];
  in vec3 place;
  flat in vec4 look;
  flat in vec4 shown;
  flat in float number;
  void cut() {
  #ifdef CUT
    if (dot(section.xyz, place) > section.w) discard;
  #endif
  }
  vec3 coloured() { return mix(look.rgb, marks[int(shown.z + 0.5)], shown.y); }`;

// A ray that passes the section plane within material next meets that material from inside: whatever back face is seen first
// belongs to what is cut at this pixel. So the cut needs no further mesh. Where parts touch, the back face of the one and the
// front of the other lie in the same place but for their chords: the back face is taken to lie nearer by more than those.
const CAP = `
  #ifdef CUT
  bool capped() {
    if (!gl_FrontFacing && shown.x > 1.5) discard; // what is seen through has no cut
    if (gl_FrontFacing || dot(section.xyz, eye) <= section.w) { gl_FragDepth = gl_FragCoord.z; return false; }
    vec4 at = viewProjection * vec4(place - normalize(place - eye) * 0.15, 1.0);
    gl_FragDepth = at.z / at.w * 0.5 + 0.5;
    return true;
  }
  #endif`;

export const FACE_FRAGMENT = `${CUTTING}
  ${CAP}
  in vec3 facing;
  out vec4 pixel;
  void main() {
    cut();
    vec3 base = coloured();
    float opacity = shown.w;
  #ifdef CUT
    if (capped()) {
      float stripe = fract((gl_FragCoord.x + gl_FragCoord.y * (look.a > 0.5 ? -1.0 : 1.0)) / 9.0);
      pixel = vec4(mix(base, base * 0.62, smoothstep(0.72, 0.86, stripe)), opacity);
      return;
    }
  #endif
    vec3 n = normalize(gl_FrontFacing ? facing : -facing);
    float key = max(dot(n, vec3(0.32, 0.58, 0.75)), 0.0);
    float fill = 0.5 + 0.5 * n.y;
    float shine = look.a * pow(max(n.z, 0.0), 18.0) * 0.16;
    pixel = vec4(base * (0.58 + 0.12 * fill + 0.34 * key) + shine, opacity);
  }`;

export const LINE_FRAGMENT = `${CUTTING}
  uniform float strength;
  out vec4 pixel;
  void main() {
    cut();
    vec3 base = coloured();
    pixel = vec4(mix(base * 0.28, base, shown.y * 0.3), strength * (shown.x > 1.5 ? 0.35 : 1.0));
  }`;

export const PICK_FRAGMENT = `${CUTTING}
  ${CAP}
  in vec3 facing;
  out vec4 pixel;
  void main() {
    cut();
  #ifdef CUT
    capped();
  #endif
    float n = number + 1.0;
    pixel = vec4(mod(n, 256.0), mod(floor(n / 256.0), 256.0), floor(n / 65536.0), 255.0) / 255.0;
  }`;
