# R's gstat as a reference of the bench: one JSON request a line in, one answer a line out (see reference.py).
# Timed is the processor's time of predict() alone. gstat runs in one thread.
here <- suppressMessages(suppressWarnings(requireNamespace("gstat", quietly = TRUE) && requireNamespace("sp", quietly = TRUE)))
# A request is flat: strings and numbers only.
field <- function(line, name) {
  found <- regmatches(line, regexec(sprintf('"%s":("([^"]*)"|[-0-9.e+]+)', name), line))[[1]]
  if (length(found) == 0) NA else if (startsWith(found[2], '"')) found[3] else as.numeric(found[2])
}
doubles <- function(path) readBin(path, "double", file.size(path) / 8)
input <- file("stdin", "r")
while (length(line <- readLines(input, 1)) > 0) {
  if (field(line, "task") == "tools") {
    cat(if (here) sprintf('{"gstat":"gstat %s"}\n', packageVersion("gstat")) else "{}\n")
  } else {
    samples <- data.frame(x = doubles(field(line, "x")), y = doubles(field(line, "y")), z = doubles(field(line, "z")))
    sp::coordinates(samples) <- ~x + y
    cell_m <- field(line, "cell_m")
    cells <- expand.grid(x = (seq_len(field(line, "cols")) - 0.5) * cell_m, y = (seq_len(field(line, "rows")) - 0.5) * cell_m)
    sp::coordinates(cells) <- ~x + y
    k <- field(line, "k")
    model <- gstat::gstat(formula = z ~ 1, locations = samples, nmax = if (is.na(k)) Inf else k, set = list(idp = 2))
    start <- sum(proc.time()[1:2])
    made <- predict(model, cells, debug.level = 0)
    spent <- sum(proc.time()[1:2]) - start
    writeBin(made$var1.pred, field(line, "out"))
    cat(sprintf('{"ms":%.6f}\n', spent * 1000))
  }
  flush(stdout())
}
