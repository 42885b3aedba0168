// Reads a shoe: a named kind, any number of it overridden.
#include "cases/forefoot/shoe_reader.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/shoes.hpp"
#include "cases/words/words.hpp"

namespace raybend {

namespace {

ShoeGiven of_kind(const std::string &kind) {
  const NamedShoe &named = named_shoe(kind);
  ShoeGiven given;
  given.shoe = named.shoe;
  given.sole.role = LayerRole::sole;
  given.sole.thickness = named.sole_thickness;
  given.sole.material = named_material(named.sole_material).material;
  return given;
}

} // namespace

ShoeGiven read_shoe(ReadingLog &log, const toml::table *source, const std::string &place,
                    const std::optional<ShoeGiven> &from) {
  TableReader table(log, source, place, {"shoe"});
  const auto kind = table.text("kind");
  ShoeGiven given = !kind && from ? *from : of_kind(kind.value_or(catalogue_row("shoe.kind").default_words));
  Shoe &s = given.shoe;
  table.into(s);
  table.number_into("sole_thickness_mm", given.sole.thickness);
  if (const auto material = table.text("sole_material"))
    given.sole.material = named_material(*material).material;
  if (table.has("rocker_apex_behind_heads_mm") && !s.has_rocker())
    table.fault("rocker_apex_behind_heads_mm", "has no effect: the sole does not rise (rocker_deg is 0)");
  table.refuse_unknown();
  return given;
}

} // namespace raybend
