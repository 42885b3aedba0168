// What designs share: [[layers]] of all of them, and a design that is like another.
#pragma once
#include "cases/casefile/reading_log.hpp"

namespace raybend {

/// Writes out in every design of `root` what it shares, as if it had been typed there; nodes keep their places in the
/// file. [[layers]] at the top stand for the layers of designs that have none of their own; like = "NAME" takes all of that
/// design but its name and title. What a design gives itself counts: a layer instead of the one with its role, a key of its
/// shoe, all its support elements together. `log` has to have the file's text. Logs a fault for a `like` that names no design, or goes in a circle.
void write_out_shared(toml::table &root, ReadingLog &log);

} // namespace raybend
