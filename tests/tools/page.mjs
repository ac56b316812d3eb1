// Drives pages of sheets in a browser: `node tests/tools/page.mjs FOLDER [PICTURES]`, the folder holding what `.ci/page`
// writes: NAME.html, and changed.html, the sheet of a changed job of the title of job.html. With PICTURES it keeps pictures of each page in
// both themes there. Tools are taken from target/validators.
import { readFileSync, readdirSync, mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const tools = createRequire(join(root, "target/validators/node_modules/"));
const { chromium } = tools("playwright-core");
const axe = readFileSync(tools.resolve("axe-core/axe.min.js"), "utf8");
const [folder, pictures] = process.argv.slice(2);
const address = (name) => pathToFileURL(join(resolve(folder), name)).href;
if (pictures) {
  mkdirSync(pictures, { recursive: true });
}

let checked = 0;
const wrong = [];
function check(holds, what) {
  checked += 1;
  if (!holds) {
    wrong.push(what);
    console.log(`  wrong: ${what}`);
  }
}

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const drawn = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"];
const start = (args) => chromium.launch({ executablePath, args });
const PHONE = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true };

/** A page that is open: what it fetched and what it complained of are kept. */
async function open(browser, name, options = {}) {
  const context = await browser.newContext({ ...PHONE, offline: true, ...options });
  const page = await context.newPage();
  const faults = [];
  const fetched = [];
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && faults.push(message.text()));
  page.on("request", (request) => fetched.push(request.url()));
  await page.goto(address(name));
  await page.waitForTimeout(250);
  return { context, page, faults, fetched, name };
}

/** What the driver prints of software drawing is no fault of the page. */
const ofPage = (faults) => faults.filter((fault) => !/GPU stall|GL Driver Message|ReadPixels|software WebGL/i.test(fault));

async function violations(page) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run(document));
  return violations.map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map((node) => node.target.join(" ")).join(", ")}`);
}

/** The words a page shows, those of drawings too. */
const words = (page) => page.evaluate(() => document.querySelector("main").innerText.split(/\s+/).filter(Boolean));

/** A picture of what is drawn in 3D, as bytes. */
const stage = (page) => page.locator(".stage canvas").screenshot();

async function roof({ page, name }) {
  check(await page.locator("#model").isVisible(), `${name}: the roof in 3D is shown`);
  check(!(await page.locator("#drawing-isometric").isVisible()), `${name}: the still picture gives way to it`);
  const first = await stage(page);
  const box = await page.locator(".stage canvas").boundingBox();
  const middle = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(...middle);
  await page.mouse.down();
  await page.mouse.move(middle[0] + 80, middle[1] + 6, { steps: 4 });
  await page.mouse.up();
  await page.waitForTimeout(120);
  check(!first.equals(await stage(page)), `${name}: a drag turns the roof`);
  check((await page.locator(".card:visible").count()) === 0, `${name}: a drag chooses no face`);
  // A finger on the roof, wherever a face lies under it.
  let told = 0;
  for (const [across, up] of [[0.5, 0.5], [0.45, 0.42], [0.55, 0.45], [0.4, 0.55], [0.6, 0.5], [0.5, 0.38]]) {
    if (told === 0) {
      await page.touchscreen.tap(box.x + box.width * across, box.y + box.height * up);
      await page.waitForTimeout(60);
      told = await page.locator(".card:visible").count();
    }
  }
  check(told === 1, `${name}: a tapped face is told of`);
  const card = page.locator(".card:visible");
  if (told === 1) {
    const face = page.locator(".faces [aria-pressed=true]");
    check((await card.locator("h2").innerText()).includes(await face.innerText()), `${name}: the card is of the face that is marked`);
    check((await card.locator("dd[data-edge]").count()) >= 3, `${name}: the card tells its edges`);
    check((await page.locator(".labels .edge").evaluateAll((all) => all.filter((one) => one.style.visibility === "visible").length)) > 0, `${name}: its edges are lettered`);
    await card.locator("[data-do=leave]").click();
    check((await page.locator(".card:visible").count()) === 0, `${name}: the card closes`);
  }
  // By keys alone.
  await page.locator(".faces .tool").last().focus();
  await page.keyboard.press("Enter");
  check((await page.locator(".card:visible").count()) === 1, `${name}: a face is chosen by key`);
  const before = await stage(page);
  await page.locator(".stage canvas").focus();
  await page.keyboard.press("ArrowLeft");
  await page.waitForTimeout(120);
  check(!before.equals(await stage(page)), `${name}: arrow keys turn the roof`);
  await page.locator("[data-do=large]").click();
  const large = await page.locator("#model").boundingBox();
  const { width, height } = page.viewportSize();
  check(large.width === width && Math.abs(large.height - height) < 1, `${name}: the roof takes the whole screen`);
  await page.keyboard.press("Escape");
  check((await page.locator("#model.large").count()) === 0, `${name}: Escape gives it back`);
  await page.locator(".faces .tool").last().click();
}

async function frames({ page, name }) {
  const rate = await page.evaluate(async () => {
    const { roof } = document.querySelector(".stage");
    const turned = 2000;
    const [from, count] = [performance.now(), roof.frames.count];
    while (performance.now() - from < turned) {
      roof.turn(4, 0);
      await new Promise((next) => requestAnimationFrame(next));
    }
    return ((roof.frames.count - count) * 1000) / (performance.now() - from);
  });
  console.log(`  ${name}: ${rate.toFixed(0)} frames a second while it turns, drawn by software`);
}

async function drawings({ page, name }) {
  const figure = page.locator("figure.opens:visible").first();
  await figure.locator("svg[role=img]").tap();
  check(await page.locator("#enlarged").isVisible(), `${name}: a drawing that is tapped opens`);
  const width = () => page.locator("#enlarged .paper svg").evaluate((svg) => svg.getBoundingClientRect().width);
  const fitted = await width();
  await page.locator("#enlarged [data-do=nearer]").click();
  check((await width()) > fitted * 1.3, `${name}: it comes nearer by its button`);
  await page.keyboard.press("+");
  const near = await width();
  check(near > fitted * 1.9, `${name}: and by key`);
  // Two fingers, as the browser hears of them.
  await page.locator("#enlarged .paper").evaluate((paper) => {
    const { left, top } = paper.getBoundingClientRect();
    const send = (kind, id, x, y) =>
      paper.dispatchEvent(new PointerEvent(kind, { pointerId: id, pointerType: "touch", button: 0, buttons: 1, clientX: left + x, clientY: top + y, bubbles: true }));
    send("pointerdown", 11, 100, 200);
    send("pointerdown", 12, 200, 200);
    send("pointermove", 12, 300, 200);
    send("pointerup", 11, 100, 200);
    send("pointerup", 12, 300, 200);
  });
  check(Math.abs((await width()) / near - 2) < 0.05, `${name}: and by two fingers, as far as they part`);
  await page.keyboard.press("Escape");
  check(!(await page.locator("#enlarged").isVisible()), `${name}: Escape closes it`);
}

async function ticks(browser) {
  const sheet = await open(browser, "job.html");
  const { page, context } = sheet;
  const box = (number) => page.locator("ol.steps input").nth(number);
  check((await page.locator("ol.steps > li").count()) === (await page.locator("ol.steps input").count()), "every step has its box");
  check((await page.locator("ul.checks > li").count()) === (await page.locator("ul.checks input").count()), "every check has its box");
  await page.locator("ol.steps .tick").nth(1).tap();
  await page.locator("ul.checks .tick").first().tap();
  const done = () => page.locator("[data-count=done]").innerText();
  check((await done()) === "1", "what is done is counted");
  await page.reload();
  check(await box(1).isChecked(), "a step stays ticked");
  check(await page.locator("ul.checks input").first().isChecked(), "a check stays ticked");
  check(!(await box(0).isChecked()), "and no other is");
  check(!(await page.locator("[data-when=changed]").isVisible()), "nothing is said to have changed");
  await page.goto(address("changed.html"));
  check(await page.locator("[data-when=changed]").isVisible(), "a changed job says that ticks start anew");
  check((await page.locator("input[data-tick]:checked").count()) === 0, "and it starts anew");
  await page.goto(address("job.html"));
  check(await box(1).isChecked(), "the sheet as it was has kept its ticks");
  await page.locator("[data-do=clear]").click();
  check((await page.locator("input[data-tick]:checked").count()) === 0, "all ticks are cleared");
  await page.locator("[data-do=restore]").click();
  check(await box(1).isChecked(), "and put back");
  await context.close();
}

/** Without the script, and on paper, it is the sheet and nothing is lost. */
async function plain(browser, name) {
  const bare = await open(browser, name, { javaScriptEnabled: false });
  check(await bare.page.locator("#drawing-isometric").isVisible(), `${name}: without a script the picture is shown`);
  check(!(await bare.page.locator("#model").isVisible()), `${name}: and no empty room for 3D`);
  await bare.page.emulateMedia({ media: "print" });
  const expected = await words(bare.page);
  await bare.context.close();
  const sheet = await open(browser, name);
  await sheet.page.emulateMedia({ media: "print" });
  check(await sheet.page.locator("#drawing-isometric").isVisible(), `${name}: on paper the picture is shown`);
  check((await sheet.page.locator(".screen:visible").count()) === 0, `${name}: nothing of the screen is on paper`);
  const found = await words(sheet.page);
  check(expected.length > 200 && expected.join(" ") === found.join(" "), `${name}: the print has the sheet's ${expected.length} words (${found.length})`);
  await sheet.context.close();
}

const names = readdirSync(folder).filter((name) => name.endsWith(".html")).sort();
const browser = await start(drawn);
for (const name of names) {
  console.log(name);
  for (const colorScheme of ["light", "dark"]) {
    const sheet = await open(browser, name, { colorScheme });
    const { page } = sheet;
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    check(wide <= 0, `${name}: nothing is wider than the screen (${wide} px)`);
    if (pictures) {
      await page.screenshot({ path: join(pictures, `${name}-${colorScheme}.png`), fullPage: true });
    }
    for (const violation of await violations(page)) {
      check(false, `${name}, ${colorScheme}: ${violation}`);
    }
    if (colorScheme === "light") {
      await roof(sheet);
      await drawings(sheet);
      await frames(sheet);
    } else {
      const ground = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
      check(ground.match(/\d+/g).every((part) => Number(part) < 60), `${name}: dark where the screen asks for it (${ground})`);
      await page.locator(".faces .tool").first().click();
      if (pictures) {
        await page.screenshot({ path: join(pictures, `${name}-${colorScheme}-card.png`) });
      }
      for (const violation of await violations(page)) {
        check(false, `${name}, ${colorScheme}, a face chosen: ${violation}`);
      }
      await page.locator("figure.opens:visible svg[role=img]").first().tap();
      for (const violation of await violations(page)) {
        check(false, `${name}, ${colorScheme}, a drawing enlarged: ${violation}`);
      }
      if (pictures) {
        await page.screenshot({ path: join(pictures, `${name}-${colorScheme}-enlarged.png`) });
      }
    }
    check(ofPage(sheet.faults).length === 0, `${name}: ${ofPage(sheet.faults).join("; ")}`);
    check(sheet.fetched.every((url) => url === address(name) || url.startsWith("data:") || url.startsWith("blob:")), `${name}: fetches ${sheet.fetched.join(", ")}`);
    await sheet.context.close();
  }
  const narrow = await open(browser, name, { viewport: { width: 360, height: 640 } });
  const wide = await narrow.page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  check(wide <= 0, `${name}: nothing is wider than 360 px (${wide} px)`);
  await narrow.context.close();
  await plain(browser, name);
}
await ticks(browser);
await browser.close();

// A browser without WebGL shows the still picture.
const without = await start(["--no-sandbox", "--disable-gpu", "--disable-3d-apis"]);
const still = await open(without, "job.html");
check(await still.page.locator("#drawing-isometric").isVisible(), "without WebGL the picture is shown");
check(!(await still.page.locator("#model").isVisible()), "and no empty room for 3D");
check((await still.page.locator("ol.steps input").count()) > 0, "and steps can be ticked");
await without.close();

console.log(`${checked - wrong.length} of ${checked} checks of ${names.length} pages hold`);
process.exit(wrong.length ? 1 : 0);
