#pragma once

#include <string>
#include <vector>

#include "core/evaluation/project_agreement.h"
#include "core/library/library.h"

namespace beatwitness::evaluation {

/// A question as text, one word and value a line, and back. What a reader does not know it passes over.
[[nodiscard]] std::string questionText(const Question& question);
[[nodiscard]] Question questionOf(const std::string& text);
[[nodiscard]] std::string criteriaText(const std::vector<agreement::Criterion>& criteria);

/// Every number of an answer under a key that says which group, clock and figure it is; by key.
[[nodiscard]] std::vector<library::EditionNumber> numbersOf(const ProjectAgreement& answer);

/// The answer as it stands now, to be frozen or held against what was. Faults: those of reading the library.
[[nodiscard]] Result<library::Edition> editionNow(library::Library& library, const Question& question,
                                                  const ProjectAgreement& answer, std::string label);

/// One number that is not what it was.
struct NumberChange {
    std::string key;
    bool wasThere = false, isThere = false;
    std::optional<double> then, now;
};

/// What changed since an edition, and what can be the reason.
struct EditionChanges {
    std::vector<NumberChange> changes;  ///< by key
    std::size_t unchanged = 0;
    bool data = false, decisions = false, settings = false, criteria = false, question = false,
         analysis = false;             ///< which of these differ
    std::vector<std::string> because;  ///< a sentence each; says so where nothing differs
};
[[nodiscard]] EditionChanges changesSince(const library::Edition& then, const library::Edition& now);

}  // namespace beatwitness::evaluation
