package workbook

// orderColumns are the columns of the order sheet, in three blocks that print as pages of their own: what to order, the
// arithmetic, and the reason with what the purchaser fills in.
var orderColumns = []column{
	{key: "key", head: "line key", width: 9, format: text},
	{key: "supplier", head: "supplier", width: 15, format: words},
	{key: "article", head: "supplier article no.", width: 11, format: text},
	{key: "product", head: "our product", width: 15, format: words},
	{key: "components", head: "components and units", width: 23, format: words},
	{key: "size", head: "size", width: 12, format: text},
	{key: "outlet", head: "outlet", width: 9.5, format: text},
	{key: "by", head: "order by", width: 10.5, format: day},
	{key: "needed", head: "needed by", width: 10.5, format: day},
	{key: "proposed", head: "proposed qty", width: 9, format: whole},
	{key: "qty", head: "your qty", width: 8, format: whole, input: true},
	{key: "unit", head: "counted in", width: 9.5, format: text},
	{key: "pack", head: "order multiple", width: 8, format: whole},
	{key: "moq", head: "MOQ", width: 6, format: whole},
	{key: "price", head: "unit price, per order multiple", width: 11, format: cents},
	{key: "currency", head: "currency", width: 9.5, format: text},
	{key: "cost", head: "line cost", width: 11, format: cents},

	{key: "usable", head: "usable on hand", width: 7.5, format: tenths},
	{key: "order", head: "on order", width: 7, format: tenths},
	{key: "use", head: "use/wk", width: 7.5, format: cents},
	{key: "spread", head: "spread/wk", width: 8, format: cents},
	{key: "lead", head: "lead time, weeks", width: 7.5, format: tenths},
	{key: "late", head: "its spread, weeks", width: 7.5, format: tenths},
	{key: "level", head: "reorder level", width: 7.5, format: cents},
	{key: "now", head: "weeks cover now", width: 7.5, format: tenths},
	{key: "after", head: "weeks cover after", width: 7.5, format: tenths},
	{key: "until", head: "covered until", width: 11, format: day},
	{key: "life", head: "life on arrival required, weeks", width: 9, format: tenths},
	{key: "older", head: "older stock lasts, weeks", width: 8.5, format: tenths},
	{key: "most", head: "Q_max by shelf life", width: 7.5, format: whole},
	{key: "expire", head: "expected to expire, units", width: 9, format: cents},
	{key: "waste", head: "expected to expire, money", width: 10, format: cents},
	{key: "check", head: "check of your qty", width: 15, format: words},

	{key: "why", head: "reason in one sentence", width: 52, format: words},
	{key: "confidence", head: "confidence", width: 34, format: words},
	{key: "po", head: "PO no.", width: 13, format: text, input: true},
	{key: "promised", head: "promised date", width: 12, format: day, input: true},
	{key: "comment", head: "comment", width: 20, format: words, input: true},
}

var (
	orderBlocks = blocks{"usable", "why"}
	orderHeads  = 5
)

// The formulas of a line. A name in brackets is the cell of that column, the other names are on the sheet of assumptions.
const (
	costFormula   = `ROUND([qty]/[pack]*[price],2)`
	leadFormula   = `INDEX(lead_days,MATCH([supplier],supplier_names,0))/7`
	lateFormula   = `INDEX(lead_sd_days,MATCH([supplier],supplier_names,0))/7`
	levelFormula  = `MAX(0,[use]*([lead]+review_days/7)+NORMSINV(service_level)*SQRT(([lead]+review_days/7)*[spread]^2+[use]^2*[late]^2))`
	inTimeFormula = `[use]*MAX(0,[life]-MAX(0,[older]-[lead]))` // of a new lot, before it expires
	mostFormula   = `MAX(0,INT([use]*([life]-MAX(0,[older]-[lead])-reserve_days/7)+1E-9))`
	nowFormula    = `([usable]+[order])/[use]`
	afterFormula  = `([usable]+[order]+%s)/[use]`
	untilFormula  = `as_of+INT(MIN(7*[after],36500)+1E-6)`
	wasteFormula  = `ROUND([expire]/[pack]*[price],2)`
)
