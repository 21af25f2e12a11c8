// Labels that keep clear of each other.

// Places at least `gap` apart and in the given order, nearest to the wanted ones: neighbours that would
// overlap are pooled about their mean; within [low, high] if they fit.
export function spread(wanted: number[], gap: number, low: number, high: number): number[] {
  const pools: { sum: number; count: number }[] = [];
  wanted.forEach((place, i) => {
    pools.push({ sum: place - i * gap, count: 1 });
    for (let last = pools.length - 1; last > 0; last -= 1) {
      const [before, after] = [pools[last - 1], pools[last]];
      if (before.sum / before.count <= after.sum / after.count) break;
      pools.splice(last - 1, 2, { sum: before.sum + after.sum, count: before.count + after.count });
    }
  });
  const highest = high - gap * (wanted.length - 1);
  return pools
    .flatMap(({ sum, count }) => Array<number>(count).fill(Math.max(Math.min(sum / count, highest), low)))
    .map((place, i) => place + i * gap);
}

// Lines of about `width` pixels; a word is not broken.
export function wrapped(text: string, width: number, letter = 7): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines[lines.length - 1];
    if (last !== undefined && (last.length + 1 + word.length) * letter <= width)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
