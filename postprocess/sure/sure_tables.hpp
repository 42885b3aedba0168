// How sure, as tables and JSON: '.' as decimal sign, units in the names.
#pragma once
#include "postprocess/sure/sureness.hpp"
#include <nlohmann/json_fwd.hpp>
#include <string>

namespace raybend {

/// Every solved foot: its numbers, and what each design gave.
std::string feet_csv(const FootSample &sample);
/// Every two designs, both ways round. Where nothing can be said the reason stands in `why_not`.
std::string pairs_csv(const Sureness &sure);
std::string ranks_csv(const Sureness &sure); ///< with the chances of each caution
std::string measurements_csv(const Sureness &sure);
std::string evidence_csv(const Sureness &sure);

nlohmann::ordered_json sure_json(const Sureness &sure);

} // namespace raybend
