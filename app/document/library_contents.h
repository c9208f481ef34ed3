#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "core/foundation/result.h"
#include "core/library/library.h"

namespace beatwitness::app {

/// Which rows of the library are not what they were. Wearings count as their session.
struct LibraryChange {
    std::set<library::SessionId> sessions;  ///< added, edited, deleted or restored
    std::set<library::SessionId> reviews;   ///< of those, with other decisions on their flags
    std::set<library::WearerId> wearers;
    std::set<library::DeviceId> devices;
    std::set<library::ActivityId> activities;
    std::set<library::ProjectId> projects;  ///< particulars, selection of sessions, criteria, comparisons
    std::set<library::PlannedId> plan;
    std::set<library::FigureId> figures;
    bool everything = false;  ///< another library, or an import

    [[nodiscard]] bool touches(library::SessionId session) const {
        return everything || sessions.contains(session);
    }
};

/// All of a library but its recordings, as it stood at one moment; never changed, shared by models and views.
struct LibraryContents {
    using Session = std::shared_ptr<const library::SessionRow>;
    template <class Id, class Particulars>
    using Rows = std::vector<library::RowOf<Id, Particulars>>;

    std::vector<Session> sessions;  ///< not deleted; by start, those without one last
    Rows<library::WearerId, library::WearerParticulars> wearers;         ///< not deleted; by label
    Rows<library::DeviceId, library::DeviceParticulars> devices;         ///< likewise
    Rows<library::ActivityId, library::ActivityParticulars> activities;  ///< likewise
    Rows<library::ProjectId, library::ProjectParticulars> projects;      ///< likewise
    Rows<library::PlannedId, library::PlannedParticulars> plan;          ///< not deleted; by number
    Rows<library::FigureId, library::FigureParticulars> figures;  ///< not deleted; by project and place
    Rows<library::CriterionId, library::CriterionParticulars> criteria;  ///< the withdrawn too; by number
    Rows<library::ComparisonId, library::ComparisonParticulars> comparisons;  ///< not deleted; by label
    /// Shared by snapshots: most changes leave them as they are.
    std::map<library::ProjectId, std::shared_ptr<const std::set<library::SessionId>>> members;

    /// nullptr where there is none (or it is deleted).
    [[nodiscard]] Session session(library::SessionId id) const;
    [[nodiscard]] const library::DeviceParticulars* device(library::DeviceId id) const;
    [[nodiscard]] const library::WearerParticulars* wearer(library::WearerId id) const;
    [[nodiscard]] const library::ActivityParticulars* activity(library::ActivityId id) const;
    [[nodiscard]] const library::ProjectParticulars* project(library::ProjectId id) const;
    [[nodiscard]] const library::PlannedParticulars* planned(library::PlannedId id) const;

    [[nodiscard]] const library::FigureParticulars* figure(library::FigureId id) const;
    [[nodiscard]] Rows<library::FigureId, library::FigureParticulars> figuresOf(
        library::ProjectId project) const;
    /// What the project requires now: set and not withdrawn.
    [[nodiscard]] std::vector<agreement::Criterion> criteriaOf(library::ProjectId project) const;

    [[nodiscard]] bool isMember(library::ProjectId project, library::SessionId session) const;
    /// The test devices of the project's matrix, in the order of its columns: as the project says, else every
    /// device that is worn as a test in its sessions or planned, by colour and label.
    [[nodiscard]] std::vector<library::DeviceId> columnsOf(library::ProjectId project) const;
};

using SharedContents = std::shared_ptr<const LibraryContents>;

[[nodiscard]] Result<LibraryContents> readContents(library::Library& library);

/// `contents` with what `change` names read anew.
[[nodiscard]] Result<LibraryContents> refreshed(const LibraryContents& contents, library::Library& library,
                                                const LibraryChange& change);

}  // namespace beatwitness::app
