// The course of the gravity: the likely band, its middle, what was read, and now. The table under it says the same.
import type { Watch } from '../api';
import { figure, t } from '../words';

const width = 600, height = 260, left = 52, bottom = 34, top = 10, right = 10;

export function Curve({ watch }: { watch: Watch }) {
  const { curve = [], watched = [], hour } = watch;
  if (curve.length < 2) return null;
  const hours = Math.max(curve[curve.length - 1]?.hour ?? 1, hour, 1);
  const values = [...curve.flatMap(({ gravity_sg }) => [gravity_sg.low, gravity_sg.high]), ...watched.map(({ gravity_sg }) => gravity_sg)];
  const low = Math.floor(Math.min(...values) * 100) / 100;
  const high = Math.ceil(Math.max(...values) * 100) / 100;
  const x = (at: number): number => left + (Math.max(at, 0) / hours) * (width - left - right);
  const y = (sg: number): number => top + ((high - sg) / (high - low)) * (height - top - bottom);
  const line = (points: [number, number][]): string => points.map(([a, b]) => `${x(a).toFixed(1)},${y(b).toFixed(1)}`).join(' ');
  const band = line([...curve.map(({ hour: at, gravity_sg }): [number, number] => [at, gravity_sg.low]), ...[...curve].reverse().map(({ hour: at, gravity_sg }): [number, number] => [at, gravity_sg.high])]);
  const gridCount = Math.max(1, Math.round((high - low) * 100));
  const dayStep = Math.max(1, Math.ceil(hours / 24 / 8));
  const days = Array.from({ length: Math.floor(hours / 24 / dayStep) + 1 }, (_, i) => i * dayStep);
  return (
    <svg class="course" viewBox={`0 0 ${width} ${height}`} role="img" aria-label={t('ferment.curve')}>
      {Array.from({ length: gridCount + 1 }, (_, i) => low + i / 100).map((sg) => (
        <g key={sg}>
          <line class="grid" x1={left} x2={width - right} y1={y(sg)} y2={y(sg)} />
          <text x={left - 6} y={y(sg) + 4} text-anchor="end">{figure(sg, 2)}</text>
        </g>
      ))}
      {days.map((day) => <text key={day} x={x(day * 24)} y={height - 14} text-anchor="middle">{day}</text>)}
      <text x={width - right} y={height - 1} text-anchor="end">{t('ferment.days')}</text>
      <polygon class="band" points={band} />
      <polyline class="middle" points={line(curve.map(({ hour: at, gravity_sg }) => [at, gravity_sg.median]))} />
      <line class="now" x1={x(hour)} x2={x(hour)} y1={top} y2={height - bottom} />
      {watched.map(({ reading, hour: at, gravity_sg, questioned }) => (
        questioned
          ? <path key={reading} class="questioned" d={`M${x(at) - 5} ${y(gravity_sg) - 5}l10 10m0 -10l-10 10`} />
          : <circle key={reading} class="read" cx={x(at)} cy={y(gravity_sg)} r="5" />
      ))}
    </svg>
  );
}

export function CurveTable({ watch }: { watch: Watch }) {
  const { curve = [], watched = [] } = watch;
  const every = Math.max(1, Math.ceil(curve.length / 12));
  return (
    <>
      {watched.length > 0 && (
        <table>
          <caption>{t('ferment.read')}</caption>
          <thead><tr><th scope="col">{t('ferment.time')}</th><th scope="col">{t('measure.gravity')}</th><th scope="col">{t('ferment.off')}</th></tr></thead>
          <tbody>{watched.map(({ reading, time, gravity_sg, deviation_sg, questioned }) => (
            <tr key={reading}><th scope="row">{time.replace('T', ' ')}</th><td>{figure(gravity_sg, 4)}</td><td>{figure(deviation_sg, 4)}{questioned && ` – ${t('ferment.doubted')}`}</td></tr>
          ))}</tbody>
        </table>
      )}
      <details>
        <summary>{t('ferment.table')}</summary>
        <table>
          <caption>{t('ferment.curve')}</caption>
          <thead><tr><th scope="col">{t('ferment.day')}</th><th scope="col">{t('ferment.low')}</th><th scope="col">{t('ferment.middle')}</th><th scope="col">{t('ferment.high')}</th></tr></thead>
          <tbody>{curve.filter((_, i) => i % every === 0).map(({ hour, gravity_sg }) => (
            <tr key={hour}><th scope="row">{figure(hour / 24, 1)}</th><td>{figure(gravity_sg.low, 4)}</td><td>{figure(gravity_sg.median, 4)}</td><td>{figure(gravity_sg.high, 4)}</td></tr>
          ))}</tbody>
        </table>
      </details>
    </>
  );
}
