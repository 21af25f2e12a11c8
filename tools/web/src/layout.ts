// Labels that keep clear of each other.

// Places near the wanted ones (rising order), at least `gap` apart and within [low, high] if they fit.
export function spread(wanted: number[], gap: number, low: number, high: number): number[] {
  const places = [...wanted];
  for (let i = 0; i < places.length; i += 1) places[i] = Math.max(places[i], i > 0 ? places[i - 1] + gap : low);
  for (let i = places.length - 1; i >= 0; i -= 1)
    places[i] = Math.min(places[i], i + 1 < places.length ? places[i + 1] - gap : high);
  return places;
}
