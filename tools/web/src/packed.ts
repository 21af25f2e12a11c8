// Takes apart what the program has packed (report/packed.hpp): rows kept by columns, and what occurs twice kept once.

type Packed = { [key: string]: unknown };

export function unpacked(data: unknown): unknown {
  if (typeof data !== 'object' || data === null || !('~page' in data)) return data; // never packed
  const { '~shared': shared, '~page': page } = data as { '~shared': unknown[]; '~page': unknown };
  const opened: unknown[] = [];
  const open = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(open);
    if (typeof value !== 'object' || value === null) return value;
    const object = value as Packed;
    if ('~shared' in object) {
      const place = object['~shared'] as number;
      return (opened[place] ??= open(shared[place]));
    }
    if ('~columns' in object) {
      const columns = Object.entries(object['~columns'] as Packed).map(([key, column]) => [key, open(column)] as const);
      return Array.from({ length: object['~rows'] as number }, (_, row) =>
        Object.fromEntries(columns.map(([key, column]) => [key, Array.isArray(column) ? (column[row] as unknown) : column])),
      );
    }
    return Object.fromEntries(Object.entries(object).map(([key, each]) => [key, open(each)]));
  };
  return open(page);
}
