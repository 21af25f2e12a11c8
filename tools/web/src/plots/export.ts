// A plot taken along: a picture or its figures. Made here, in the browser; nothing is sent.

import { light } from '../theme';
import { init, picture_option, type Look } from './chart';
import { csv } from './table';

function save(content: Blob, name: string): void {
  const address = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken the content by the next turn.
  setTimeout(() => URL.revokeObjectURL(address), 0);
}

function file_name(id: string, ending: string): string {
  return `${id.replace(/[^A-Za-z0-9.-]+/g, '-')}.${ending}`;
}

export function save_csv(look: Look): void {
  save(new Blob([csv(look.plot, look.units)], { type: 'text/csv' }), file_name(look.plot.id, 'csv'));
}

const picture = { width: 1200, height: 700, finer: 2 };

export async function save_png(look: Look): Promise<void> {
  const chart = init(null, null, { renderer: 'svg', ssr: true, width: picture.width, height: picture.height });
  chart.setOption(picture_option({ ...look, theme: light, print: true }));
  const drawing = chart.renderToSVGString();
  chart.dispose();
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(drawing)}`;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = picture.width * picture.finer;
  canvas.height = picture.height * picture.finer;
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
  const content = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
  if (content) save(content, file_name(look.plot.id, 'png'));
}
