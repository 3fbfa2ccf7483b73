package refs

// TablesDate is the day on which the embedded tables were last compared with their
// sources; whoever changes a table changes it too.
const TablesDate = "2026-11-25"
