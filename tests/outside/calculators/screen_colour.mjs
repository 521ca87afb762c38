// sRGB from CIE tristimulus values by two general colour libraries: npm i culori@4.0.2 colorjs.io@0.7.1
import { converter } from 'culori';
import Color from 'colorjs.io';

const rgb = converter('rgb');
for (const [x, y, z] of [[0.641, 0.6672, 0.298], [0.4793, 0.4621, 0.0924], [0.2, 0.3, 0.1], [0.05, 0.04, 0.02],
                         [0.003, 0.003, 0.002], [0.3, 0.25, 0.1], [0.95047, 1, 1.08883]]) {
  const c = rgb({ mode: 'xyz65', x, y, z });
  console.log(x, y, z, 'culori', c.r, c.g, c.b, 'colorjs', ...new Color('xyz-d65', [x, y, z]).to('srgb').coords);
}
