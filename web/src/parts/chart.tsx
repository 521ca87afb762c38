// The frame of a curve: as wide as there is room, so that its letters are as large as those around it.
import type { ComponentChildren } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

const height = 250, left = 46, right = 8, top = 10, bottom = 44;

interface Props {
  label: string;
  x: [number, number];
  y: [number, number];
  across: [number, string][]; // where a word stands under it
  lines: [number, string][]; // where a line runs, and what stands before it
  under: string;
  draw(x: (value: number) => number, y: (value: number) => number): ComponentChildren;
}

export function Chart({ label, x, y, across, lines, under, draw }: Props) {
  const svg = useRef<SVGSVGElement>(null);
  const [width, setWidth] = useState(600);
  useLayoutEffect(() => {
    const look = (): void => { if (svg.current && svg.current.clientWidth > 0) setWidth(svg.current.clientWidth); };
    look();
    window.addEventListener('resize', look);
    return () => window.removeEventListener('resize', look);
  }, []);
  const atX = (value: number): number => left + ((value - x[0]) / (x[1] - x[0])) * (width - left - right);
  const atY = (value: number): number => top + ((y[1] - value) / (y[1] - y[0])) * (height - top - bottom);
  return (
    <svg ref={svg} class="course" viewBox={`0 0 ${width} ${height}`} height={height} role="img" aria-label={label}>
      {lines.map(([value, word]) => (
        <g key={value}>
          <line class="grid" x1={left} x2={width - right} y1={atY(value)} y2={atY(value)} />
          <text x={left - 6} y={atY(value) + 4} text-anchor="end">{word}</text>
        </g>
      ))}
      {across.map(([value, word]) => <text key={value} x={atX(value)} y={height - bottom + 18} text-anchor="middle">{word}</text>)}
      <text x={width - right} y={height - 6} text-anchor="end">{under}</text>
      {draw(atX, atY)}
      <line class="grid" x1={left} x2={left} y1={top} y2={height - bottom} />
    </svg>
  );
}

/** Points of an area between two lines, or of a line. */
export const path = (points: [number, number][]): string => points.map(([a, b]) => `${a.toFixed(1)},${b.toFixed(1)}`).join(' ');
