// typst.js SOURCE OUT.pdf [ROUNDS [fresh]]: compiles the source with Typst, whose compiler is told of Noto Sans alone. With ROUNDS the same
// compiler does it so often again, each time with another number in place of "{{round}}", and prints the least milliseconds of one, of
// the processor's time and the clock's whichever is less; `fresh` has it forget all that it remembers before each.
const fs = require("fs");
const { NodeCompiler } = require("@myriaddreamin/typst-ts-node-compiler");

const [source, out, rounds, fresh] = process.argv.slice(2);
const fonts = ["Regular", "Bold", "Italic"].map(face => `/usr/share/fonts/truetype/noto/NotoSans-${face}.ttf`);
const compiler = NodeCompiler.create({ workspace: ".", fontArgs: [{ fontBlobs: fonts.map(font => fs.readFileSync(font)) }] });
const text = fs.readFileSync(source, "utf8");
const pdf = round => compiler.pdf({ mainFileContent: text.replaceAll("{{round}}", String(round)) });

fs.writeFileSync(out, pdf(""));
let least = Infinity;
for (let round = 0; round < Number(rounds ?? 0); ++round) {
    if (fresh) compiler.evictCache(0);
    const start = process.hrtime.bigint(), used = process.cpuUsage();
    pdf(round + 1);
    const { user, system } = process.cpuUsage(used);
    least = Math.min(least, (user + system) / 1e3, Number(process.hrtime.bigint() - start) / 1e6);
}
if (rounds) console.log(least.toFixed(3));
