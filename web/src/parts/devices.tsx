// The devices that were paired, each with a way to shut it out. Looked up when it is opened.
import { useState } from 'preact/hooks';
import { findDevices, shutOut, type Device } from '../api';
import { t } from '../words';

const day = (time: string): string => time.slice(0, 10);

export function Devices() {
  const [devices, setDevices] = useState<Device[] | null>(null);
  const look = (): void => void findDevices().then(setDevices, () => setDevices(null));
  return (
    <details class="devices" onToggle={(event) => { if (event.currentTarget.open) look(); }}>
      <summary>{t('devices.heading')}</summary>
      {devices?.length === 0 && <p>{t('devices.none')}</p>}
      <ul>
        {(devices ?? []).map((device) => (
          <li key={device.id}>
            <span>{device.name}{device.this ? ` (${t('devices.this')})` : ''}</span>
            {device.paired !== '' && <small>{t('devices.when', { paired: day(device.paired), seen: day(device.seen) })}</small>}
            <button type="button" class="quiet" aria-label={t('devices.out.name', { name: device.name })} onClick={() => void shutOut(device.id).then(look, look)}>{t('devices.out')}</button>
          </li>
        ))}
      </ul>
    </details>
  );
}
