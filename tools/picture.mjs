// The picture in README.md: a person's page of the demo clinic. Run it when the page has changed: node tools/picture.mjs [QUERY].
import { mkdirSync } from 'node:fs';
import { openPage, startBench, startBrowser } from '../tests/e2e/bench.mjs';

const query = process.argv[2] ?? 'Noor Halvorsen'; // an ordinary evening: one insulin, one pen
const bench = await startBench({ demo: true });
const browser = await startBrowser();
try {
  const page = await openPage(browser, bench, { width: 1366, height: 1800 });
  await page.goto(`${bench.base}/people`);
  await page.getByRole('link', { name: query }).first().click();
  await page.locator('.who').waitFor();
  await page.waitForLoadState('networkidle');
  mkdirSync('docs/img', { recursive: true });
  await page.screenshot({ path: 'docs/img/person.png' });
} finally {
  await browser.close();
  await bench.stop();
}
