// What is written stands beside its place under a name of its own and is put there whole.
#pragma once

#include <filesystem>

namespace restwell {

// The place meant: absolute, without a slash at its end, what a link points to instead of the link.
// Throws std::runtime_error for a link to nothing.
[[nodiscard]] std::filesystem::path place_of(const std::filesystem::path& as_given);

// ".NAME.part-PID" in the folder of `place`: what this process writes before it is whole.
[[nodiscard]] std::filesystem::path part_of(const std::filesystem::path& place);

// Removes what killed processes left beside `place` under such names. What such a process had set
// aside there (".NAME.old-PID") is put back if the place is empty now, else removed.
void clear_leftovers(const std::filesystem::path& place);

// Puts the folder part_of(place) in its place and removes what stood there: at once where the
// system can swap names; else that is set aside for a moment, as ".NAME.old-PID".
void put_folder_in_place(const std::filesystem::path& place);

}  // namespace restwell
