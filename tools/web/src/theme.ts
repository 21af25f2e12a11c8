// Colours. Series: okabe_ito_2008, safe for colour-blind readers.
// Pressure: cividis, nunez_2018; ten anchors of the
// published map, from memory, interpolated in sRGB. Its lightness rises evenly, so it survives a
// black-and-white print. Series are told apart by dashes and symbols as well.

export interface Theme {
  dark: boolean;
  series: string[];
  text: string;
  quiet: string;
  rule: string;
  ground: string;
  void_region: string;
  band: string;
}

export const light: Theme = {
  dark: false,
  // The ones of the palette that reach 3:1 on white, and its orange darkened until it does.
  series: ['#0072B2', '#D55E00', '#009E73', '#000000', '#CC79A7', '#B27B00'],
  text: '#1d1b18',
  quiet: '#57534a',
  rule: '#dcd7cc',
  ground: '#ffffff',
  void_region: 'rgba(213,94,0,0.13)',
  band: 'rgba(0,114,178,0.16)',
};

export const dark: Theme = {
  dark: true,
  series: ['#56B4E9', '#E69F00', '#009E73', '#F0E442', '#CC79A7', '#FFFFFF'],
  text: '#ece8df',
  quiet: '#b5afa3',
  rule: '#3b3f45',
  ground: '#1b1e22',
  void_region: 'rgba(230,159,0,0.18)',
  band: 'rgba(86,180,233,0.22)',
};

const dashes: number[][] = [[], [9, 4], [2, 3], [12, 3, 2, 3], [5, 2], [14, 4, 2, 3, 2, 3]];
const symbols = ['circle', 'rect', 'triangle', 'diamond', 'emptyCircle', 'emptyRect'] as const;
export type Symbol = (typeof symbols)[number];

// Looks count on beyond the palette: each time that its colours come again, dash and symbol are those of a neighbour.
const lap = (look: number) => Math.floor(look / light.series.length);

export function colour_of(look: number, theme: Theme): string {
  return theme.series[look % theme.series.length];
}

export function dash_of(look: number): number[] {
  return dashes[(look + lap(look)) % dashes.length];
}

export function symbol_of(look: number): Symbol {
  return symbols[(look + lap(look)) % symbols.length];
}

const cividis = [
  '#00204d',
  '#00336f',
  '#39486b',
  '#575c6d',
  '#707173',
  '#8a8779',
  '#a69d75',
  '#c4b56c',
  '#e4cf5b',
  '#ffea46',
];

function channels(colour: string): number[] {
  return [1, 3, 5].map((start) => parseInt(colour.slice(start, start + 2), 16));
}

// The colour of a share 0…1 of the scale.
export function pressure_colour(share: number): string {
  const place = Math.min(Math.max(share, 0), 1) * (cividis.length - 1);
  const below = Math.min(Math.floor(place), cividis.length - 2);
  const from = channels(cividis[below]);
  const to = channels(cividis[below + 1]);
  return `rgb(${from.map((c, i) => Math.round(c + (place - below) * (to[i] - c))).join(',')})`;
}

export const cividis_anchors = cividis;
