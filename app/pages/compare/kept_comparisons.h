#pragma once

#include <QObject>
#include <optional>

#include "app/document/library_document.h"
#include "core/report/figures/compared_view.h"

class QAction;
class QMenu;

namespace beatwitness::app {

/// Comparisons that are kept by name: shown, kept, renamed, deleted, each change one undo step.
class KeptComparisons : public QObject {
    Q_OBJECT

public:
    /// `window` gets the actions and is the parent of questions.
    KeptComparisons(LibraryDocument& library, QWidget* window);

    QAction *keep, *rename, *remove;

    /// Filled anew whenever it opens.
    [[nodiscard]] QMenu* menu() const { return menu_; }

    void setProject(std::optional<library::ProjectId> project);
    /// What would be kept, and which of the kept ones it is.
    void setAsk(const report::ComparedAsk& ask);
    /// Of the project at hand, by name.
    [[nodiscard]] std::vector<library::RowOf<library::ComparisonId, library::ComparisonParticulars>> all()
        const;
    /// The one that says what is asked now.
    [[nodiscard]] std::optional<library::ComparisonId> current() const;

    bool keepAs(const QString& name);
    bool renameTo(const QString& name);
    bool removeCurrent();

signals:
    void chosen(const beatwitness::report::ComparedAsk& ask);
    /// The list or the one at hand is another one.
    void changed();

private:
    void fill();
    void refresh();
    void askName(const QString& title, const QString& proposal,
                 bool (KeptComparisons::*take)(const QString&));

    LibraryDocument& library_;
    QWidget* window_;
    QMenu* menu_;
    std::optional<library::ProjectId> project_;
    report::ComparedAsk ask_;
};

}  // namespace beatwitness::app
