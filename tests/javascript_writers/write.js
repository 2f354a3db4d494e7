// Read a workbook and write it again by one of three libraries: node write.js WAY SOURCE TARGET, run where they are installed.
const { createRequire } = require("module");
const installed = createRequire(process.cwd() + "/");
const [, , way, source, target] = process.argv;

const passedOn = (options) => {
  const library = installed("xlsx");
  library.writeFile(library.readFile(source, options), target, options);
};

const WAYS = {
  "exceljs": async () => {
    const book = new (installed("exceljs").Workbook)();
    await book.xlsx.readFile(source);
    await book.xlsx.writeFile(target);
  },
  "xlsx": async () => passedOn({}),
  "xlsx, dates as dates": async () => passedOn({ cellDates: true }),
  "xlsx, number formats": async () => passedOn({ cellNF: true }),
  "xlsx-populate": async () => (await installed("xlsx-populate").fromFileAsync(source)).toFileAsync(target),
};

WAYS[way]().catch((trouble) => {
  console.error(trouble);
  process.exit(1);
});
