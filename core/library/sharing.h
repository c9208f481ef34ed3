#pragma once

#include <filesystem>

#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"

/// Parts of a library as files for others.
namespace beatwitness::library {

enum class Sharing {
    Project,  ///< everything of the project, originals included: for another machine of the same person
    Copy,     ///< for anybody: see saveProject()
};

/// Writes one project into a library file of its own; what stands at `copy` gives way once the new file is
/// whole. What was deleted, and sessions, people, devices and recordings that the project does not use, stay
/// behind.
///
/// Sharing::Copy further leaves out the original files (with them every geographic position; none is ever
/// stored elsewhere), serial numbers and what files say of their device, file names, laps' labels, reading
/// guesses and warnings, all notes, places, zones and medication, frozen editions and the journal. Wearers
/// become "wearer 1", …, units "unit 1", …; their names, and words of theirs of three letters or more, are
/// replaced in every text that stays. What stays: traces and channels (speed, distance and altitude among
/// them), times, SHA-256 of the recordings, body measures and skin tone of wearers, how devices were worn,
/// conditions, phases, requirements, decisions. The numbers of an analysis are the same. Neither kind of file
/// holds bytes of what was left out.
///
/// Works on a library that is open for reading only. Faults: NotInLibrary, those of Library::saveCopy(),
/// Cancelled.
[[nodiscard]] Result<Done> saveProject(Library& library, ProjectId project, const std::filesystem::path& copy,
                                       Sharing sharing, const RunControl& run = {});

}  // namespace beatwitness::library
