// mutool run filled.js whole|incremental IN.pdf OUT.pdf TEXTS ...: fills the form with mupdf, as its viewers do, and saves it; of several, one
// after the other. TEXTS has lines of name, tab, text; the text `Yes` sets a check box.
function fill(source, to, texts, how) {
    var wanted = {}, left = 0;
    var lines = read(texts).split("\n");
    for (var i = 0; i < lines.length; ++i) {
        if (!lines[i]) continue;
        var parts = lines[i].split("\t");
        wanted[parts[0]] = parts[1];
        ++left;
    }
    var document = new PDFDocument(source);
    for (var number = 0; number < document.countPages(); ++number) {
        var page = document.loadPage(number);
        var widgets = page.getWidgets(), at = 0;
        var all = document.findPage(number).get("Annots"); // a widget's own name is seen here alone
        for (var k = 0; all && k < all.length; ++k) {
            if (all[k].Subtype != "Widget") continue;
            var widget = widgets[at++];
            var named = all[k].T ? all[k] : all[k].Parent;
            var name = named.T.asString();
            if (!(name in wanted)) continue;
            if (widget.getFieldType() == "checkbox") {
                if (wanted[name] == "Yes") widget.toggle();
            } else widget.setTextValue(wanted[name]);
            widget.update();
            delete wanted[name];
            --left;
        }
    }
    if (left != 0) throw new Error("no field named " + Object.keys(wanted).join(", "));
    document.save(to, how);
}

var how = scriptArgs[0] == "whole" ? "" : scriptArgs[0];
for (var at = 1; at < scriptArgs.length; at += 3) fill(scriptArgs[at], scriptArgs[at + 1], scriptArgs[at + 2], how);
