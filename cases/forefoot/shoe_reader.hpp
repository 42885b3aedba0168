// The table [shoe], and a design's own [designs.shoe].
#pragma once
#include "cases/casefile/table_reader.hpp"
#include "geometry/insole.hpp"
#include <optional>

namespace raybend {

/// What a shoe says of a design: its numbers, and the sole where the design's layers name none.
struct ShoeGiven {
  Shoe shoe;
  Layer sole;
};

/// `place`: "shoe" or "designs[2].shoe"; `from`: the case's shoe, whose numbers a design's own table changes unless it
/// names another kind.
ShoeGiven read_shoe(ReadingLog &log, const toml::table *source, const std::string &place,
                    const std::optional<ShoeGiven> &from = {});

} // namespace raybend
