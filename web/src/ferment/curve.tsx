// The course of the gravity: the likely band, its middle, what was read, and now. The table under it says the same.
import type { Watch } from '../api';
import { Chart, path } from '../parts/chart';
import { figure, moment, t } from '../words';

export function Curve({ watch }: { watch: Watch }) {
  const { curve = [], watched = [], hour } = watch;
  if (curve.length < 2) return null;
  const hours = Math.max(curve[curve.length - 1]?.hour ?? 1, hour, 1);
  const values = [...curve.flatMap(({ gravity_sg }) => [gravity_sg.low, gravity_sg.high]), ...watched.map(({ gravity_sg }) => gravity_sg)];
  const low = Math.floor(Math.min(...values) * 100) / 100;
  const high = Math.max(Math.ceil(Math.max(...values) * 100) / 100, low + 0.01);
  const lines = Array.from({ length: Math.max(1, Math.round((high - low) * 100)) + 1 }, (_, i): [number, string] => [low + i / 100, figure(low + i / 100, 2)]);
  const dayStep = Math.max(1, Math.ceil(hours / 24 / 8));
  const days = Array.from({ length: Math.floor(hours / 24 / dayStep) + 1 }, (_, i): [number, string] => [24 * i * dayStep, String(i * dayStep)]);
  return (
    <Chart label={t('ferment.curve')} x={[0, hours]} y={[low, high]} across={days} lines={lines} under={t('ferment.days')} draw={(x, y) => (
      <>
        <polygon class="band" points={path([...curve.map(({ hour: at, gravity_sg }): [number, number] => [x(at), y(gravity_sg.low)]), ...[...curve].reverse().map(({ hour: at, gravity_sg }): [number, number] => [x(at), y(gravity_sg.high)])])} />
        <polyline class="middle" points={path(curve.map(({ hour: at, gravity_sg }) => [x(at), y(gravity_sg.median)]))} />
        <line class="now" x1={x(Math.max(hour, 0))} x2={x(Math.max(hour, 0))} y1={y(high)} y2={y(low)} />
        {watched.map(({ reading, hour: at, gravity_sg, questioned }) => (
          questioned
            ? <path key={reading} class="questioned" d={`M${x(Math.max(at, 0)) - 5} ${y(gravity_sg) - 5}l10 10m0 -10l-10 10`} />
            : <circle key={reading} class="read" cx={x(Math.max(at, 0))} cy={y(gravity_sg)} r="5" />
        ))}
      </>
    )} />
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
          <thead><tr><th scope="col">{t('ferment.time')}</th><th scope="col">{t('measure.gravity')}</th><th scope="col">{t('ferment.give')}</th></tr></thead>
          <tbody>{watched.map(({ reading, time, gravity_sg, deviation_sg, questioned }) => (
            <tr key={reading}><th scope="row">{moment(time)}</th><td>{figure(gravity_sg, 4)}</td><td>± {figure(deviation_sg, 4)}{questioned && ` – ${t('ferment.doubted')}`}</td></tr>
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
