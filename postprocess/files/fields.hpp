// Fields of a solved design for ParaView.
#pragma once
#include <string>

namespace raybend {

struct ForefootState;

/// NAME_0.pvtu: the file to open of the fields NAME.
std::string fields_file(const std::string &name);

/// Writes DIR/NAME_0.pvtu and its pieces (collective over the state's ranks): displacement (mm), stress along
/// the ray (MPa, bone only), strain energy density (mJ/mm3), material (0 tissue, 1..5 cortex of that ray, 6..10
/// its spongy bone, 11 and up the insole's), contact pressure (kPa, plantar skin's cells). Material and energy
/// take a cell's material at its middle; the solver takes that of each Gauss point. Geometry is the stress-free
/// one; warp by displacement. Throws std::runtime_error if a file cannot be written.
void write_fields(const ForefootState &state, const std::string &directory, const std::string &name);

/// show_fields.py: shows bones and pressure of all fields beside it in ParaView.
extern const char *const show_fields_script;

} // namespace raybend
