// Where a key of a study stands in its case, and its catalogue row.
#pragma once
#include "cases/casefile/case_error.hpp"
#include "cases/catalogue/catalogue.hpp"
#include <string>
#include <vector>

namespace raybend {

struct KeyAddress {
  std::vector<std::string> keys; ///< concrete: designs[3].support[1].height_mm
  const CatalogueRow *row = nullptr;
  std::vector<Fault> faults; ///< as --set has them; file and line are not said
};

/// An address as --set takes it ("designs.moulded-pad.support[1].height_mm"), or with designs[] for all designs that
/// have such a place. `case_text`: the case's file, read already without a fault with these changes.
KeyAddress find_key(const std::string &address, const std::string &case_text, const std::string &case_path,
                    const std::vector<std::string> &sets);

} // namespace raybend
