// A plot as options of ECharts.

import { CustomChart, LineChart, ScatterChart } from 'echarts/charts';
import {
  GridComponent,
  LegendComponent,
  MarkAreaComponent,
  MarkLineComponent,
  TitleComponent,
  TooltipComponent,
} from 'echarts/components';
import { connect, init, use, type EChartsCoreOption, type EChartsType } from 'echarts/core';
import { LabelLayout } from 'echarts/features';
import { SVGRenderer } from 'echarts/renderers';
import { html } from '../dom';
import { colour_of, dash_of, symbol_of, type Symbol, type Theme } from '../theme';
import { fixed, shown, unit_of, with_unit, type Choice } from '../units';
import { full_name, full_title, type Axis, type Band, type Line, type Plot } from './model';
import { widened, y_in_view, type Range } from './scale';

use([
  CustomChart,
  LineChart,
  ScatterChart,
  GridComponent,
  LegendComponent,
  MarkAreaComponent,
  MarkLineComponent,
  TitleComponent,
  TooltipComponent,
  LabelLayout,
  SVGRenderer,
]);

export { connect, init, type EChartsType };

// Single quotes: a picture is made of text, where ECharts does not escape double ones.
const font = "system-ui, -apple-system, 'Segoe UI', Roboto, 'DejaVu Sans', sans-serif";

export interface Look {
  plot: Plot;
  lines: Line[]; // those switched on
  view: Range; // along x [SI]
  units: Choice;
  theme: Theme;
  print: boolean; // for paper or a picture: names written in, nothing to hover
}

function axis(of: Axis, range: Range, count: number, look: Look) {
  const unit = unit_of(of.quantity, look.units);
  // Half a thing is no mark on an axis.
  const most = of.quantity === 'count' ? Math.max(1, Math.min(count, range.max - range.min)) : count;
  const { min, max, step } = widened({ min: shown(range.min, unit), max: shown(range.max, unit) }, most);
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return {
    type: 'value',
    min,
    max,
    interval: step,
    name: unit.name === '' ? of.name : `${of.name} [${unit.name}]`,
    nameLocation: 'middle',
    nameTextStyle: { color: look.theme.text, fontSize: 12, fontFamily: font },
    axisLabel: {
      color: look.theme.text,
      fontSize: 12,
      fontFamily: font,
      hideOverlap: true,
      formatter: (value: number) => fixed(value, decimals),
    },
    axisLine: { show: true, onZero: true, lineStyle: { color: look.theme.quiet } },
    axisTick: { show: false },
    splitLine: { lineStyle: { color: look.theme.rule } },
  };
}

function converted(line: Line, look: Look): [number, number | null][] {
  const x = unit_of(look.plot.x.quantity, look.units);
  const y = unit_of(look.plot.y.quantity, look.units);
  return line.points.map(([a, b]) => [shown(a, x), b === null ? null : shown(b, y)]);
}

export function colour(line: Line, theme: Theme): string {
  return colour_of(line.look, theme);
}

export function dash(line: Line): number[] {
  return dash_of(line.dash ?? line.look);
}

export function symbol(line: Line): Symbol {
  return line.symbol ?? symbol_of(line.look);
}

function series(line: Line, look: Look) {
  const common = {
    name: full_name(line),
    data: converted(line, look),
    color: colour(line, look.theme),
    symbol: symbol(line),
    emphasis: { disabled: true },
  };
  if (line.kind === 'points') {
    return {
      ...common,
      type: 'scatter',
      symbolSize: 10,
      z: 4,
      label: {
        show: line.marks !== undefined,
        position: 'top',
        color: look.theme.text,
        fontSize: 12,
        fontFamily: font,
        formatter: ({ dataIndex }: { dataIndex: number }) => line.marks?.[dataIndex] ?? '',
      },
      labelLayout: { hideOverlap: true },
      itemStyle: { color: colour(line, look.theme), borderColor: look.theme.ground, borderWidth: 1, opacity: 1 },
    };
  }
  // Some ten symbols a line, out of step with those of the others.
  const every = Math.max(1, Math.ceil(line.points.length / 10));
  return {
    ...common,
    type: 'line',
    connectNulls: false,
    showAllSymbol: true,
    z: 3,
    symbolSize: (_: unknown, { dataIndex }: { dataIndex: number }) =>
      dataIndex % every === (line.look * 2 + (line.dash ?? 0)) % every ? 6 : 0,
    lineStyle: { color: colour(line, look.theme), width: 2, type: dash(line).length ? dash(line) : 'solid' },
  };
}

function band_series(band: Band, look: Look) {
  const x = unit_of(look.plot.x.quantity, look.units);
  const y = unit_of(look.plot.y.quantity, look.units);
  const data = band.between.map((b) => [shown(b.x, x), shown(b.low, y), shown(b.high, y)]);
  return {
    name: band.name,
    type: 'custom',
    clip: true,
    silent: true,
    z: 1,
    data,
    encode: { x: 0, y: [1, 2] },
    tooltip: { show: false },
    // One shape for the whole band, drawn with its first item.
    renderItem: (item: { dataIndex: number }, api: { coord: (at: number[]) => number[] }) =>
      item.dataIndex > 0
        ? null
        : {
            type: 'polygon',
            shape: {
              points: [
                ...data.map((b) => api.coord([b[0], b[2]])),
                ...data
                  .slice()
                  .reverse()
                  .map((b) => api.coord([b[0], b[1]])),
              ],
            },
            style: { fill: look.theme.band },
          },
  };
}

function marks(look: Look) {
  const { plot, theme } = look;
  const x = unit_of(plot.x.quantity, look.units);
  const y = unit_of(plot.y.quantity, look.units);
  const label = { color: theme.text, fontSize: 12, fontFamily: font };
  return {
    type: 'line',
    name: 'marks',
    data: [],
    silent: true,
    tooltip: { show: false },
    markLine: {
      silent: true,
      symbol: 'none',
      animation: false,
      data: (plot.levels ?? []).map((level) => ({
        yAxis: shown(level.y, y),
        name: level.name,
        lineStyle: { color: theme.text, width: 1.5, type: [3, 3] },
        label: { ...label, formatter: level.name, position: 'insideEndTop' },
      })),
    },
    markArea: {
      silent: true,
      animation: false,
      // Of several, which overlap, each name has a line of its own.
      data: (plot.regions ?? []).map((region, row) => [
        {
          xAxis: shown(region.from, x),
          name: region.name,
          itemStyle: { color: theme.void_region },
          label: { ...label, position: 'insideTop', offset: [0, 16 * row], fontWeight: 'bold' },
        },
        { xAxis: shown(region.to, x) },
      ]),
    },
  };
}

interface Hovered {
  seriesName?: string;
  dataIndex: number;
}

// The tooltip is built of text nodes: what a file says is never read as HTML.
function tooltip(look: Look, hovered: Hovered[]): HTMLElement {
  const rows: HTMLElement[] = [];
  let x: number | null = null;
  for (const { seriesName, dataIndex } of hovered) {
    const line = look.lines.find((each) => full_name(each) === seriesName);
    const point = line?.points[dataIndex];
    if (!line || !point || point[1] === null) continue;
    x ??= point[0];
    const label = line.labels?.[dataIndex];
    rows.push(
      html(
        'tr',
        {},
        html('td', { style: `color:${colour(line, look.theme)}` }, '■'),
        html('th', {}, label ? `${full_name(line)}: ${label}` : full_name(line)),
        html('td', { class: 'figure' }, with_unit(point[1], look.plot.y.quantity, look.units)),
      ),
    );
  }
  const head = x === null ? '' : `${look.plot.x.name}: ${with_unit(x, look.plot.x.quantity, look.units)}`;
  return html('div', { class: 'hover' }, html('b', {}, head), html('table', {}, ...rows));
}

export function option(look: Look): EChartsCoreOption {
  const { plot, theme } = look;
  const y = y_in_view(plot, look.lines, look.view);
  return {
    animation: false,
    textStyle: { fontFamily: font, color: theme.text },
    grid: { left: 76, right: 18, top: 14, bottom: 46, outerBoundsMode: 'none' },
    xAxis: { ...axis(plot.x, look.view, look.print ? 5 : 8, look), nameGap: 28 },
    yAxis: { ...axis(plot.y, y, look.print ? 5 : 6, look), nameGap: 56 },
    tooltip: {
      show: !look.print,
      trigger: 'axis',
      confine: true,
      transitionDuration: 0,
      backgroundColor: theme.ground,
      borderColor: theme.quiet,
      textStyle: { color: theme.text, fontSize: 13 },
      axisPointer: { type: 'line', lineStyle: { color: theme.quiet } },
      formatter: (hovered: Hovered | Hovered[]) => tooltip(look, Array.isArray(hovered) ? hovered : [hovered]),
    },
    series: [
      marks(look),
      ...(plot.bands ?? []).map((band) => band_series(band, look)),
      ...look.lines.map((line) => series(line, look)),
    ],
  };
}

// For a picture of its own: title and legend drawn in.
export function picture_option(look: Look): EChartsCoreOption {
  const { plot, theme } = look;
  return {
    ...option(look),
    backgroundColor: theme.ground,
    title: {
      text: full_title(plot),
      left: 12,
      top: 8,
      textStyle: { fontSize: 18, fontFamily: font, color: theme.text },
    },
    legend: {
      top: 38,
      left: 8,
      data: look.lines.map(full_name),
      textStyle: { color: theme.text, fontSize: 13, fontFamily: font },
    },
    grid: { left: 80, right: 24, top: 100, bottom: 56, outerBoundsMode: 'none' },
  };
}
