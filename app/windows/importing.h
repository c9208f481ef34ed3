#pragma once

#include <QObject>
#include <QStringList>

#include "app/document/library_document.h"

class QWidget;

namespace beatwitness::app {

/// From dropped, chosen or pasted files to sessions of the library: the import dialog, then storing in the
/// background, then words on what was stored and what was not.
class Importing : public QObject {
    Q_OBJECT

public:
    /// `window` is what the dialog belongs to.
    Importing(LibraryDocument& library, QWidget* window);

    /// Files, and folders for all recordings below them. Requires nothing: a library that cannot be written
    /// is told.
    void import(const QStringList& paths);
    /// The project that the dialog proposes; the one before stays where it is empty.
    void setProject(const QString& project);

signals:
    void refused(const QString& headline, const QString& text, const QString& details);
    void noticed(const QString& headline, const QString& text);

private:
    void store(std::vector<library::SessionDraft> drafts, const QString& project);
    void tell(const std::vector<library::AddedSession>& added);

    LibraryDocument& library_;
    QWidget* window_;
    QString project_;
    QString leftOver_;  ///< of the import under way, for the words at its end
};

}  // namespace beatwitness::app
